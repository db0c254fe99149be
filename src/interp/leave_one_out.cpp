#include "gaugeloom/interp/leave_one_out.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "interp/inverse_distance_internal.hpp"
#include "interp/kriging_system_internal.hpp"
#include "interp/neighbours_internal.hpp"

namespace gaugeloom {
namespace {

std::vector<std::size_t> without(const std::vector<std::size_t>& indices, std::size_t left_out) {
  std::vector<std::size_t> others = indices;
  std::erase(others, left_out);
  return others;
}

double own_variance(const Variogram& variogram, std::span<const double> measurement_variance,
                    std::size_t gauge) {
  return variogram.sill() + (measurement_variance.empty() ? 0.0 : measurement_variance[gauge]);
}

Estimate leave_out(std::span<const MetricPoint> gauges, std::span<const double> values,
                   std::span<const double> measurement_variance,
                   const std::vector<std::size_t>& present, std::size_t gauge,
                   const Variogram& variogram, const KrigingOptions& options) {
  const KrigingSystem system(
      gauges, measurement_variance,
      nearest_gauges(gauges, without(present, gauge), gauges[gauge], options.max_neighbours),
      variogram);
  const auto& set = system.set();
  std::vector<double> distances;
  for (const std::size_t i : set) distances.push_back(distance_m(gauges[i], gauges[gauge]));
  Eigen::VectorXd c(static_cast<Eigen::Index>(set.size()));
  structured_covariances(variogram, distances, {c.data(), set.size()});
  return apply_weights(system.solve(c, own_variance(variogram, measurement_variance, gauge),
                                    options.negative_weights),
                       values);
}

}  // namespace

std::vector<Estimate> leave_one_out_kriging(std::span<const MetricPoint> gauges,
                                            std::span<const double> values,
                                            std::span<const double> measurement_variance,
                                            const Variogram& variogram,
                                            const KrigingOptions& options) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  require_valid(variogram, options);
  const auto present = present_indices(values);
  std::vector<Estimate> estimates;
  for (std::size_t gauge = 0; gauge < gauges.size(); ++gauge)
    estimates.push_back(
        leave_out(gauges, values, measurement_variance, present, gauge, variogram, options));
  return estimates;
}

std::vector<Estimate> leave_one_out_kriging_closed_form(
    std::span<const MetricPoint> gauges, std::span<const double> values,
    std::span<const double> measurement_variance, const Variogram& variogram) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  const KrigingOptions all{.max_neighbours = 0};
  require_valid(variogram, all);
  const auto present = present_indices(values);
  std::vector<Estimate> estimates(gauges.size());
  for (std::size_t gauge = 0; gauge < gauges.size(); ++gauge)
    if (values[gauge] != values[gauge])
      estimates[gauge] =
          leave_out(gauges, values, measurement_variance, present, gauge, variogram, all);
  const KrigingSystem system(gauges, measurement_variance, present, variogram);
  if (present.size() < 2) return estimates;
  if (system.status() != EstimateStatus::ok)
    return leave_one_out_kriging(gauges, values, measurement_variance, variogram, all);
  const Eigen::MatrixXd inverse = system.bordered_inverse();
  Eigen::VectorXd y(inverse.rows());
  for (Eigen::Index i = 0; i < y.size(); ++i) y[i] = values[present[static_cast<std::size_t>(i)]];
  const Eigen::VectorXd scaled_errors = inverse * y;
  for (Eigen::Index i = 0; i < y.size(); ++i) {
    const double variance = 1 / inverse(i, i);
    estimates[present[static_cast<std::size_t>(i)]] = {EstimateStatus::ok,
                                                       y[i] - scaled_errors[i] * variance, variance,
                                                       static_cast<int>(present.size()) - 1};
  }
  return estimates;
}

std::vector<Estimate> leave_one_out_inverse_distance(std::span<const MetricPoint> gauges,
                                                     std::span<const double> values,
                                                     const InverseDistanceOptions& options) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  require_valid(options);
  const auto present = present_indices(values);
  std::vector<Estimate> estimates;
  for (std::size_t gauge = 0; gauge < gauges.size(); ++gauge)
    estimates.push_back(
        inverse_distance_at(gauges, values, without(present, gauge), gauges[gauge], options));
  return estimates;
}

}  // namespace gaugeloom
