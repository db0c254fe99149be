#pragma once
// The law of the daily log ratio of healthy gauges to what is expected of them, as a smooth
// function of how much rain was expected and how patchy it was: it weighs the days of long
// comparisons. (expect/ratio_null.hpp has the tails, for single days.)
//
// Source: A. Harvey, Econometrica 44, 1976 (regression of the log of squared residuals).

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/expect/long_sums.hpp"
#include "gaugeloom/expect/neighbourhood.hpp"

namespace gaugeloom {

struct RatioSample {
  double expected_mm = 0;  // > 0
  double patchiness = 0;   // how unlike the neighbours were, 0 to 1
  double log_ratio = 0;
};

// mean = m0 + m1 log E + m2 log(0.1 + patchiness), variance = exp of the same form. At most 1.2 is
// heard of a log ratio while learning, so that faults teach little.
class RatioLaw {
 public:
  RatioLaw() = default;
  // Fewer than 60 samples teach nothing: mean 0, variance 0.16.
  static RatioLaw learned(std::span<const RatioSample> samples);
  // As `coefficients()` gave them.
  explicit RatioLaw(const std::array<double, 6>& coefficients) : coefficients_(coefficients) {}

  double mean(double expected_mm, double patchiness) const;
  double variance(double expected_mm, double patchiness) const;  // 0.0004 or more: 2 % at best
  const std::array<double, 6>& coefficients() const { return coefficients_; }

 private:
  std::array<double, 6> coefficients_{0, 0, 0, -1.8326, 0, 0};  // log 0.16
};

// Block `block` of a gauge held against the same block of its neighbours in `speaking`, in logs:
// ratios of rain are steadier so than against the weighted mean of depths (half as much information
// again on synthetic rain), and no neighbour rules. Logs are of (depth / site ratio + bucket of the
// gauge).
//   expected_mm  from the weighted mean of the logs of up to `used` nearest neighbours, each within
//                0.8 of their weighted median
//   patchiness   their weighted standard deviation around that mean, 1 at most
//   log_ratio    the gauge's own log less that mean
// Only blocks that are accepted and whole (kWholeBlock of it usable) speak; nothing when the
// gauge's is not, or fewer than kLeastNeighbours speak.
std::optional<RatioSample> ratio_among_neighbours(const BlockSum& own, const BlockSums& speaking,
                                                  const Neighbourhoods& around,
                                                  std::span<const double> site_ratio,
                                                  double bucket_mm, std::size_t gauge,
                                                  std::size_t block);

inline constexpr float kWholeBlock = 0.95F;
bool is_whole(const BlockSum& block);

}  // namespace gaugeloom
