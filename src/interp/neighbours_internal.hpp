#pragma once
// The nearest gauges of a place, the plain way.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

// The indices of the `count` candidates nearest to `target` (0 = all), by distance and then index;
// returned by rising index. `candidates` holds rising indices into `gauges`.
std::vector<std::size_t> nearest_gauges(std::span<const MetricPoint> gauges,
                                        std::span<const std::size_t> candidates,
                                        const MetricPoint& target, int count);

// 0 .. count-1.
std::vector<std::size_t> all_indices(std::size_t count);

// The rising indices whose value is not NaN.
std::vector<std::size_t> present_indices(std::span<const double> values);

}  // namespace gaugeloom
