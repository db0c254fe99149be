#include "gaugeloom/interp/inverse_distance.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "interp/inverse_distance_internal.hpp"
#include "interp/neighbours_internal.hpp"

namespace gaugeloom {

std::optional<std::string> InverseDistanceOptions::problem() const {
  if (!(power >= 0 && power <= 100))
    return fmt::format("power is {}; give a number from 0 to 100", power);
  if (max_neighbours < 0)
    return fmt::format("max_neighbours is {}; give 1 or more, or 0 for all", max_neighbours);
  return std::nullopt;
}

void require_valid(const InverseDistanceOptions& options) {
  if (const auto found = options.problem())
    throw Error(ErrorCode::invalid_option, "inverse distance: " + *found);
}

std::vector<double> inverse_distance_weights(std::span<const double> distances_m, double power) {
  const double nearest = *std::min_element(distances_m.begin(), distances_m.end());
  std::vector<double> weights;
  weights.reserve(distances_m.size());
  double sum = 0;
  for (const double distance : distances_m) {
    // Relative to the nearest, so that no power overflows; on the spot, only those on the spot.
    const double weight =
        nearest > 0 ? portable_pow(nearest / distance, power) : (distance > 0 ? 0.0 : 1.0);
    weights.push_back(weight);
    sum += weight;
  }
  for (double& weight : weights) weight /= sum;
  return weights;
}

Estimate inverse_distance_at(std::span<const MetricPoint> gauges, std::span<const double> values,
                             std::span<const std::size_t> candidates, const MetricPoint& target,
                             const InverseDistanceOptions& options) {
  Estimate estimate;
  const auto near = nearest_gauges(gauges, candidates, target, options.max_neighbours);
  if (near.empty()) return estimate;
  std::vector<double> distances;
  for (const std::size_t i : near) distances.push_back(distance_m(gauges[i], target));
  const auto weights = inverse_distance_weights(distances, options.power);
  double sum = 0;
  for (std::size_t i = 0; i < near.size(); ++i) sum += weights[i] * values[near[i]];
  estimate.status = EstimateStatus::ok;
  estimate.value = sum;
  estimate.gauges_used = static_cast<int>(near.size());
  return estimate;
}

std::vector<Estimate> inverse_distance(std::span<const MetricPoint> gauges,
                                       std::span<const double> values,
                                       std::span<const MetricPoint> targets,
                                       const InverseDistanceOptions& options) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  require_valid(options);
  const auto candidates = all_indices(gauges.size());
  std::vector<Estimate> estimates;
  estimates.reserve(targets.size());
  for (const MetricPoint& target : targets)
    estimates.push_back(inverse_distance_at(gauges, values, candidates, target, options));
  return estimates;
}

}  // namespace gaugeloom
