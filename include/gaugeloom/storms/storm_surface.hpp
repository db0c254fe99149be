#pragma once
// The surface of a storm's totals on a grid fine enough for isohyets, and how each gauge fits the
// others.

#include <span>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/variogram.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"

namespace gaugeloom {

struct StormSurface {
  Grid grid;                      // empty (no cell) where fewer than 3 gauges have a total
  std::vector<float> total_mm;    // row by row, NaN without support (storms/rain_map.hpp)
  std::vector<double> others_mm;  // per gauge: its total as the others tell it; NaN likewise
};

// As a map of the totals (storms/rain_map.hpp) with standard_error_mm of each, which makes filled
// gauges count for less; the variogram is scaled by the variance of the totals; neighbours
// are the usual ones of a surface. Cells are a tenth
// of the median spacing of the gauges, larger where there would be more than 40 000; the grid
// reaches one spacing beyond the gauges.
//   rows       of one storm, one per gauge, in the order of `gauges`
//   variogram  sill 1, of storms
// Law (a test): a constant field is constant, on the surface and left out in turn.
StormSurface storm_surface(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows,
                           const Variogram& variogram);

}  // namespace gaugeloom
