#pragma once
// How far the daily rain of healthy gauges strays from what is expected: the network's own law of
// log ratios, learned from accepted days.

#include <array>
#include <span>
#include <vector>

#include "gaugeloom/expect/law_values.hpp"
#include "gaugeloom/expect/long_sums.hpp"

namespace gaugeloom {

// Lower edges of the bins of expected depth; below the first a ratio is not judged.
inline constexpr std::array<double, 6> kRatioDepthEdgesMm = {1, 2, 4, 8, 16, 32};

// Law of L = log_ratio(observed, expected) given the expected depth of the block. The middle is the
// sorted sample; beyond its 5 % and 95 % points an exponential with the mean excess found there
// (tails of a ratio are close to it; our choice over a Pareto, whose shape a month cannot tell).
// A bin with fewer than 30 blocks borrows those of its nearest bins.
class RatioNull {
 public:
  RatioNull() = default;
  static RatioNull learned(const BlockSums& blocks, std::span<const double> bucket_mm);

  // The sorted sample of every bin: lists "1 mm", "2 mm" and so on by lower edge, empty where
  // nothing is judged; from() throws as LawValues.
  LawValues values() const;
  static RatioNull from(const LawValues& values);

  // -log P(L <= value): nats that so little speaks against a working gauge; 0 when not judged.
  double low_nats(double expected_mm, double value) const;
  // -log P(L >= value): the same for so much.
  double high_nats(double expected_mm, double value) const;
  // Middle and robust spread (half the distance of the 16 % and 84 % points) of the bin.
  double middle(double expected_mm) const;
  double spread(double expected_mm) const;
  bool judges(double expected_mm) const;

 private:
  struct Bin {
    std::vector<double> sorted;
    double low_point = 0;
    double low_excess = 1;
    double high_point = 0;
    double high_excess = 1;
  };
  static Bin made(std::vector<double> sample);
  const Bin* bin(double expected_mm) const;
  std::array<Bin, kRatioDepthEdgesMm.size()> bins_;
};

}  // namespace gaugeloom
