#pragma once
// Plain ways to fill a gap, to score ours against: the nearest gauge, the normal ratio and inverse
// distance.

#include <cstddef>
#include <limits>
#include <utility>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// Depths in mm; NaN when there is nothing to estimate from.
struct PlainDepths {
  double nearest = std::numeric_limits<double>::quiet_NaN();
  double normal_ratio = std::numeric_limits<double>::quiet_NaN();
  double inverse = std::numeric_limits<double>::quiet_NaN();
};

class PlainWays {
 public:
  // `known` must outlive this. Cost: gauges squared, and one pass for the normals.
  PlainWays(const Network& network, const RainTable& known);

  // From the gauges that are measured at the step, by distance: the first; the first four by their
  // normals (the mean of what is known of each); the first 16 by power 2.
  PlainDepths at(std::size_t gauge, std::size_t step) const;

 private:
  const RainTable& known_;
  std::vector<std::vector<std::pair<double, std::size_t>>> by_distance_;
  std::vector<double> mean_;
};

}  // namespace gaugeloom
