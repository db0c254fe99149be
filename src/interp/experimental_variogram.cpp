#include "gaugeloom/interp/experimental_variogram.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "interp/pair_bins_internal.hpp"

namespace gaugeloom {
namespace {

struct Pair {
  double distance_m = 0;
  double difference = 0;  // >= 0
};

std::vector<Pair> pairs_within(std::span<const MetricPoint> points, std::span<const double> values,
                               double cutoff_m) {
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const double difference = std::abs(values[i] - values[j]);
      if (difference != difference) continue;  // one is missing
      const double distance = distance_m(points[i], points[j]);
      if (distance <= cutoff_m) pairs.push_back({distance, difference});
    }
  }
  return pairs;
}

// The bin (lower, upper] of a distance; distance 0 belongs to the first.
std::size_t equal_width_bin(double distance, double width, std::size_t bins) {
  const double position = std::ceil(distance / width) - 1;
  return position <= 0 ? 0 : std::min(static_cast<std::size_t>(position), bins - 1);
}

// Sums over the pairs of one bin.
struct BinSums {
  std::size_t pairs = 0;
  double distance = 0;
  double square = 0;
  double root = 0;

  void add(const Pair& pair) {
    ++pairs;
    distance += pair.distance_m;
    square += pair.difference * pair.difference;
    root += std::sqrt(pair.difference);
  }
  VariogramBin bin(VariogramEstimator estimator) const {
    const auto count = static_cast<double>(pairs);
    const double gamma = estimator == VariogramEstimator::classical
                             ? 0.5 * square / count
                             : robust_semivariance(root / count, pairs);
    return {pairs, distance / count, gamma};
  }
};

std::vector<BinSums> sum_equal_width(const std::vector<Pair>& pairs, double cutoff_m,
                                     std::size_t bins) {
  std::vector<BinSums> sums(bins);
  const double width = cutoff_m / static_cast<double>(bins);
  for (const Pair& pair : pairs) sums[equal_width_bin(pair.distance_m, width, bins)].add(pair);
  return sums;
}

std::vector<BinSums> sum_equal_pairs(std::vector<Pair> pairs, std::size_t bins) {
  std::sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) {
    return a.distance_m != b.distance_m ? a.distance_m < b.distance_m : a.difference < b.difference;
  });
  std::vector<BinSums> sums(bins);
  for (std::size_t bin = 0; bin < bins; ++bin)
    for (std::size_t i = equal_share_begin(pairs.size(), bins, bin);
         i < equal_share_begin(pairs.size(), bins, bin + 1); ++i)
      sums[bin].add(pairs[i]);
  return sums;
}

}  // namespace

std::optional<std::string> ExperimentalVariogramOptions::problem() const {
  if (bin_count < 1 || bin_count > 1000)
    return fmt::format("bin_count is {}; give 1 to 1000", bin_count);
  if (!(cutoff_m >= 0 && cutoff_m < 1e100))
    return fmt::format("cutoff is {} m; give a length above 0, or 0 for a third of the diagonal",
                       cutoff_m);
  return std::nullopt;
}

double robust_semivariance(double mean_root_difference, std::size_t pairs) {
  const double square = mean_root_difference * mean_root_difference;
  return square * square / (2 * (0.457 + 0.494 / static_cast<double>(pairs)));
}

double box_diagonal(std::span<const MetricPoint> points) {
  if (points.empty()) return 0;
  MetricPoint low = points.front(), high = points.front();
  for (const MetricPoint& p : points) {
    low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
    high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
  }
  return distance_m(low, high);
}

std::size_t equal_share_begin(std::size_t count, std::size_t shares, std::size_t share) {
  return count / shares * share + std::min(share, count % shares);
}

std::vector<VariogramBin> experimental_variogram(std::span<const MetricPoint> points,
                                                 std::span<const double> values,
                                                 const ExperimentalVariogramOptions& options) {
  GAUGELOOM_ASSERT(values.size() == points.size());
  if (const auto found = options.problem())
    throw Error(ErrorCode::invalid_option, "experimental variogram: " + *found);
  const double cutoff = options.cutoff_m > 0 ? options.cutoff_m : box_diagonal(points) / 3;
  const auto bins = static_cast<std::size_t>(options.bin_count);
  std::vector<Pair> pairs = pairs_within(points, values, cutoff);
  const auto sums = options.bins == DistanceBins::equal_width
                        ? sum_equal_width(pairs, cutoff, bins)
                        : sum_equal_pairs(std::move(pairs), bins);
  std::vector<VariogramBin> result;
  for (const BinSums& sum : sums)
    if (sum.pairs > 0) result.push_back(sum.bin(options.estimator));
  return result;
}

}  // namespace gaugeloom
