#include "gaugeloom/expect/ratio_law.hpp"

#include <algorithm>
#include <cmath>

#include "expect/weighted_median_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLeastSamples = 60;
constexpr double kMostHeard = 1.2;
constexpr double kLeastResidual = 0.01;
constexpr double kLogChiSquare =
    -1.2704;  // mean of the log of a chi square of 1 degree: Harvey 1976
constexpr double kMostStandardised = 2.5;   // what is beyond counts as this in the last scaling
constexpr double kClippedVariance = 0.978;  // of a standard normal so clipped
constexpr double kLeastVariance = 0.0004;

constexpr double kMostApart = 0.8;

using Features = std::array<double, 3>;

Features features(double expected_mm, double patchiness) {
  return {1, portable_log(expected_mm), portable_log(0.1 + patchiness)};
}

double dot(const Features& a, std::span<const double> b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

// Normal equations of three features with a little ridge, solved by elimination.
class Regression {
 public:
  void add(const Features& x, double y) {
    for (std::size_t r = 0; r < 3; ++r) {
      for (std::size_t c = 0; c < 3; ++c) rows_[r][c] += x[r] * x[c];
      rows_[r][3] += x[r] * y;
    }
  }
  Features solution() {
    for (std::size_t r = 0; r < 3; ++r) rows_[r][r] += 1e-6 * (1 + rows_[r][r]);
    for (std::size_t p = 0; p < 3; ++p) {
      for (std::size_t r = 0; r < 3; ++r) {
        if (r == p) continue;
        const double factor = rows_[r][p] / rows_[p][p];
        for (std::size_t c = p; c < 4; ++c) rows_[r][c] -= factor * rows_[p][c];
      }
    }
    return {rows_[0][3] / rows_[0][0], rows_[1][3] / rows_[1][1], rows_[2][3] / rows_[2][2]};
  }

 private:
  std::array<std::array<double, 4>, 3> rows_{};
};

}  // namespace

double RatioLaw::mean(double expected_mm, double patchiness) const {
  return dot(features(expected_mm, patchiness), std::span(coefficients_).first(3));
}

double RatioLaw::variance(double expected_mm, double patchiness) const {
  const double log_variance =
      dot(features(expected_mm, patchiness), std::span(coefficients_).last(3));
  return std::max(kLeastVariance, portable_exp(log_variance));
}

RatioLaw RatioLaw::learned(std::span<const RatioSample> unsorted) {
  if (unsorted.size() < kLeastSamples) return {};
  std::vector<RatioSample> samples(unsorted.begin(), unsorted.end());
  // Sums do not depend on the order of the gauges then.
  std::sort(samples.begin(), samples.end(), [](const RatioSample& a, const RatioSample& b) {
    if (a.log_ratio != b.log_ratio) return a.log_ratio < b.log_ratio;
    return a.expected_mm != b.expected_mm ? a.expected_mm < b.expected_mm
                                          : a.patchiness < b.patchiness;
  });
  std::array<double, 6> c{};
  Regression mean;
  for (const RatioSample& s : samples)
    mean.add(features(s.expected_mm, s.patchiness),
             std::clamp(s.log_ratio, -kMostHeard, kMostHeard));
  const Features m = mean.solution();
  std::copy(m.begin(), m.end(), c.begin());
  Regression spread;
  for (const RatioSample& s : samples) {
    const Features x = features(s.expected_mm, s.patchiness);
    const double off = std::clamp(std::abs(s.log_ratio - dot(x, m)), kLeastResidual, kMostHeard);
    spread.add(x, 2 * portable_log(off) - kLogChiSquare);
  }
  const Features v = spread.solution();
  std::copy(v.begin(), v.end(), c.begin() + 3);
  // The tails are not normal: scaled so that clipped standardised values have the variance that
  // clipped normal ones have.
  double squares = 0;
  for (const RatioSample& s : samples) {
    const Features x = features(s.expected_mm, s.patchiness);
    const double z = (s.log_ratio - dot(x, m)) / portable_exp(dot(x, v) / 2);
    squares += std::min(z * z, kMostStandardised * kMostStandardised);
  }
  c[3] += portable_log(squares / static_cast<double>(samples.size()) / kClippedVariance);
  return RatioLaw(c);
}

bool is_whole(const BlockSum& block) { return block.accepted && block.usable_share >= kWholeBlock; }

std::optional<RatioSample> ratio_among_neighbours(const BlockSum& own, const BlockSums& speaking,
                                                  const Neighbourhoods& around,
                                                  std::span<const double> site_ratio,
                                                  double bucket_mm, std::size_t gauge,
                                                  std::size_t block) {
  if (!is_whole(own)) return std::nullopt;
  std::vector<WeightedValue> logs;
  for (const NearbyGauge& n : around.of[gauge]) {
    if (logs.size() == around.options.used) break;
    const BlockSum& b = speaking.row(n.gauge)[block];
    if (!is_whole(b)) continue;
    logs.push_back({portable_log(b.observed_mm / site_ratio[n.gauge] + bucket_mm), n.weight});
  }
  if (logs.size() < kLeastNeighbours) return std::nullopt;
  const double middle = weighted_median(logs);
  double weights = 0, sum = 0, squares = 0;
  for (const WeightedValue& l : logs) {
    const double off = std::clamp(l.value - middle, -kMostApart, kMostApart);
    weights += l.weight;
    sum += l.weight * off;
    squares += l.weight * (l.value - middle) * (l.value - middle);
  }
  const double mean = sum / weights;
  const double around_mean = squares / weights - mean * mean;
  const double own_log = portable_log(own.observed_mm / site_ratio[gauge] + bucket_mm);
  return RatioSample{portable_exp(middle + mean) - bucket_mm,
                     std::sqrt(std::clamp(around_mean, 0.0, 1.0)), own_log - middle - mean};
}

}  // namespace gaugeloom
