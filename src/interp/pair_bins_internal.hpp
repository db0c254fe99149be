#pragma once
// What the variograms of this room share about pairs and their bins.

#include <cstddef>
#include <span>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

// The diagonal of the box around the points; 0 for none.
double box_diagonal(std::span<const MetricPoint> points);

// Where share number `share` of `count` items begins, when the first shares are one larger.
std::size_t equal_share_begin(std::size_t count, std::size_t shares, std::size_t share);

}  // namespace gaugeloom
