#include "gaugeloom/expect/residual_shape.hpp"

#include <algorithm>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kPoints = ResidualShape::kPoints;
constexpr double kTail = ResidualShape::kTail;
constexpr double kLeastExcess = 0.02;

// Of the standard normal law at 50, 55, ..., 95 %. Source: any table of it.
constexpr std::array<double, 10> kNormalPoints = {0,       0.12566, 0.25335, 0.38532, 0.52440,
                                                  0.67449, 0.84162, 1.03643, 1.28155, 1.64485};
constexpr double kNormalExcess = 0.41786;  // beyond 1.64485: density there / 0.05 - 1.64485

double share_of(std::size_t point) { return kTail * static_cast<double>(point + 1); }

double sample_point(std::span<const double> sorted, double share) {
  const double at = std::clamp(share * static_cast<double>(sorted.size()) - 0.5, 0.0,
                               static_cast<double>(sorted.size() - 1));
  const auto low = static_cast<std::size_t>(at);
  const std::size_t high = std::min(low + 1, sorted.size() - 1);
  const double rest = at - static_cast<double>(low);
  return sorted[low] * (1 - rest) + sorted[high] * rest;
}

// Of P(Z <= z) between the first and the last point.
double middle_share(const std::array<double, kPoints>& points, double z) {
  const auto above = std::upper_bound(points.begin(), points.end(), z);
  if (above == points.end()) return share_of(kPoints - 1);
  const auto i = static_cast<std::size_t>(above - points.begin());
  if (i == 0) return kTail;
  const double rest = (z - points[i - 1]) / (points[i] - points[i - 1]);
  return share_of(i - 1) + kTail * rest;
}

}  // namespace

double ResidualShape::below(double z) const {
  if (z < points.front()) return kTail * portable_exp((z - points.front()) / low_excess);
  return z > points.back() ? 1 - above(z) : middle_share(points, z);
}

double ResidualShape::above(double z) const {
  if (z > points.back()) return kTail * portable_exp((points.back() - z) / high_excess);
  return 1 - below(z);
}

double ResidualShape::quantile(double share) const {
  if (share < kTail) return points.front() + low_excess * portable_log(share / kTail);
  if (share > 1 - kTail) return points.back() - high_excess * portable_log((1 - share) / kTail);
  const double at = share / kTail - 1;
  const auto low = std::min(static_cast<std::size_t>(std::max(at, 0.0)), kPoints - 2);
  const double rest = std::clamp(at - static_cast<double>(low), 0.0, 1.0);
  return points[low] * (1 - rest) + points[low + 1] * rest;
}

ResidualShape broad_shape(double spread) {
  ResidualShape shape;
  for (std::size_t i = 0; i < kNormalPoints.size(); ++i) {
    shape.points[kPoints / 2 + i] = spread * kNormalPoints[i];
    shape.points[kPoints / 2 - i] = -spread * kNormalPoints[i];
  }
  shape.low_excess = shape.high_excess = spread * kNormalExcess;
  return shape;
}

ResidualShape learned_shape(std::span<const double> sorted, const ResidualShape& prior,
                            double prior_count) {
  if (sorted.empty()) return prior;
  const auto count = static_cast<double>(sorted.size());
  const double share = count / (count + prior_count);
  ResidualShape shape;
  for (std::size_t i = 0; i < kPoints; ++i)
    shape.points[i] = share * sample_point(sorted, share_of(i)) + (1 - share) * prior.points[i];
  // The excess is over the sample's own points, so that it does not hang on the blending.
  const double low = sample_point(sorted, kTail);
  const double high = sample_point(sorted, 1 - kTail);
  const double in_tail = kTail * prior_count;
  double low_sum = in_tail * prior.low_excess, low_count = in_tail;
  double high_sum = in_tail * prior.high_excess, high_count = in_tail;
  for (const double z : sorted) {
    if (z >= low) break;
    low_sum += low - z;
    low_count += 1;
  }
  for (auto z = sorted.rbegin(); z != sorted.rend() && *z > high; ++z) {
    high_sum += *z - high;
    high_count += 1;
  }
  shape.low_excess = std::max(kLeastExcess, low_sum / low_count);
  shape.high_excess = std::max(kLeastExcess, high_sum / high_count);
  return shape;
}

}  // namespace gaugeloom
