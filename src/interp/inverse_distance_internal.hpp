#pragma once
// One target of inverse distance weighting.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/interp/inverse_distance.hpp"

namespace gaugeloom {

// Throws Error{invalid_option} for the first problem.
void require_valid(const InverseDistanceOptions& options);

// Weights with sum 1 for one or more distances >= 0.
std::vector<double> inverse_distance_weights(std::span<const double> distances_m, double power);

// Estimates one target from the nearest of the candidates (rising indices into `gauges`).
Estimate inverse_distance_at(std::span<const MetricPoint> gauges, std::span<const double> values,
                             std::span<const std::size_t> candidates, const MetricPoint& target,
                             const InverseDistanceOptions& options);

}  // namespace gaugeloom
