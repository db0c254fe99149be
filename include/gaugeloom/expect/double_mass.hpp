#pragma once
// The double-mass curve: the rain of a gauge summed up against that of its neighbours summed up. A
// change of what the gauge catches is a bend; the weather is none.
// Source: J. Searcy and C. Hardison, Double-mass curves, USGS Water-Supply Paper 1541-B, 1960.

#include <cstddef>
#include <span>
#include <vector>

namespace gaugeloom {

struct DoubleMassPoint {
  std::size_t block = 0;  // the sums run from the beginning to the end of this block
  double own_mm = 0;
  double neighbours_mm = 0;
};

// A point after every `least_mm` of the neighbours' rain, and after the last block with any rain of
// either.
//   own_mm, neighbours_mm  depths per block, the mean of the neighbours over the same time as the
//                          gauge's own; finite and >= 0
// Law: both columns never fall; the last point holds the sums of all blocks.
// Requires: as many of both; least_mm > 0.
std::vector<DoubleMassPoint> double_mass_curve(std::span<const double> own_mm,
                                               std::span<const double> neighbours_mm,
                                               double least_mm);

// Slope of the curve between two of its points; NaN where the neighbours had no rain in between.
// The factor that brings the readings of one period to another's is the ratio of their slopes.
double mass_slope(const DoubleMassPoint& from, const DoubleMassPoint& to);

}  // namespace gaugeloom
