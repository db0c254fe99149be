#pragma once
// A choice of pairs of points, by distance, small enough to look at for many fields.

#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

struct PooledPair {
  double distance_m = 0;
  std::uint32_t first = 0, second = 0;
};
using PairPool = std::vector<PooledPair>;  // by rising distance

// Pairs at distances above 0 and up to the cutoff: all of them when they are few, else about the
// same number at every logarithmic class of distance. With many points only the pairs of an even
// choice of them are looked at, some 2 million. The same pairs always.
PairPool choose_pairs(std::span<const MetricPoint> points, double cutoff_m);

}  // namespace gaugeloom
