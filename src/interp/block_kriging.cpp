#include "gaugeloom/interp/block_kriging.hpp"

#include "gaugeloom/core/assert.hpp"
#include "interp/kriging_system_internal.hpp"
#include "interp/neighbours_internal.hpp"

namespace gaugeloom {
namespace {

std::vector<double> weights_or_equal(std::span<const double> weights, std::size_t points) {
  if (!weights.empty()) return {weights.begin(), weights.end()};
  return std::vector<double>(points, 1.0 / static_cast<double>(points));
}

// The weighted mean covariance between one place and the block, without nugget.
double covariance_with_block(const MetricPoint& place, std::span<const MetricPoint> block,
                             std::span<const double> weights, const Variogram& variogram) {
  std::vector<double> distances(block.size()), covariance(block.size());
  for (std::size_t i = 0; i < block.size(); ++i) distances[i] = distance_m(place, block[i]);
  structured_covariances(variogram, distances, covariance);
  double sum = 0;
  for (std::size_t i = 0; i < block.size(); ++i) sum += weights[i] * covariance[i];
  return sum;
}

double covariance_within(std::span<const MetricPoint> block, std::span<const double> weights,
                         const Variogram& variogram) {
  double sum = 0;
  for (std::size_t i = 0; i < block.size(); ++i)
    sum += weights[i] * covariance_with_block(block[i], block, weights, variogram);
  return sum;
}

MetricPoint mean_of(std::span<const MetricPoint> block, std::span<const double> weights) {
  MetricPoint mean;
  for (std::size_t i = 0; i < block.size(); ++i) {
    mean.x_m += weights[i] * block[i].x_m;
    mean.y_m += weights[i] * block[i].y_m;
  }
  return mean;
}

}  // namespace

KrigingWeights block_kriging_weights(std::span<const MetricPoint> gauges,
                                     std::span<const double> measurement_variance,
                                     std::span<const MetricPoint> block,
                                     std::span<const double> block_weights,
                                     const Variogram& variogram, const KrigingOptions& options) {
  GAUGELOOM_ASSERT(!block.empty());
  GAUGELOOM_ASSERT(block_weights.empty() || block_weights.size() == block.size());
  require_valid(variogram, options);
  const auto share = weights_or_equal(block_weights, block.size());
  const KrigingSystem system(gauges, measurement_variance,
                             nearest_gauges(gauges, all_indices(gauges.size()),
                                            mean_of(block, share), options.max_neighbours),
                             variogram);
  Eigen::VectorXd c(static_cast<Eigen::Index>(system.set().size()));
  for (std::size_t i = 0; i < system.set().size(); ++i)
    c[static_cast<Eigen::Index>(i)] =
        covariance_with_block(gauges[system.set()[i]], block, share, variogram);
  return system.solve(c, covariance_within(block, share, variogram), options.negative_weights);
}

Estimate block_kriging(std::span<const MetricPoint> gauges, std::span<const double> values,
                       std::span<const double> measurement_variance,
                       std::span<const MetricPoint> block, std::span<const double> block_weights,
                       const Variogram& variogram, const KrigingOptions& options) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  return apply_weights(
      block_kriging_weights(gauges, measurement_variance, block, block_weights, variogram, options),
      values);
}

double block_error_variance(std::span<const MetricPoint> gauges, std::span<const double> weights,
                            std::span<const MetricPoint> block,
                            std::span<const double> block_weights, const Variogram& variogram) {
  GAUGELOOM_ASSERT(!block.empty() && weights.size() == gauges.size());
  const auto share = weights_or_equal(block_weights, block.size());
  double variance = covariance_within(block, share, variogram);
  for (std::size_t i = 0; i < gauges.size(); ++i) {
    variance += weights[i] * (weights[i] * variogram.sill() -
                              2 * covariance_with_block(gauges[i], block, share, variogram));
    for (std::size_t j = 0; j < i; ++j)
      variance += 2 * weights[i] * weights[j] *
                  variogram.structured_covariance(distance_m(gauges[i], gauges[j]));
  }
  return variance;
}

std::vector<MetricPoint> rectangle_points(const MetricPoint& centre, double width_m,
                                          double height_m, int columns, int rows) {
  GAUGELOOM_ASSERT(width_m > 0 && height_m > 0 && columns > 0 && rows > 0);
  std::vector<MetricPoint> points;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column)
      points.push_back({centre.x_m + width_m * ((column + 0.5) / columns - 0.5),
                        centre.y_m + height_m * ((row + 0.5) / rows - 0.5)});
  return points;
}

}  // namespace gaugeloom
