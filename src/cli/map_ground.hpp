#pragma once
// Where maps lie: their plane and cells, and the heights of the ground there. Known from the gauges
// alone, before any rain is read.

#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "map_raster.hpp"

namespace gaugeloom {

struct MapInput;

struct MapGround {
  MapPlane plane;
  Grid grid;
  std::vector<double>
      gauge_heights_m;  // of the network; empty where totals take no account of them

  // Opens every raster of the input. Throws as MapRasterInput::plane and sample_elevation;
  // Error{inconsistent_input} where a height is needed and neither raster nor gauge has one.
  MapGround(const MapInput& input, const Network& network);

  // The raster's heights at points of the plane, NaN where it has none.
  std::vector<double> heights_m(const std::string& raster,
                                std::span<const MetricPoint> points) const;
};

}  // namespace gaugeloom
