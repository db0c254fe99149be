#pragma once
// The land of the invented basin: heights and catchments.

#include "support/demo_basin.hpp"

namespace gaugeloom::support {

// South-west corner of the region, in EPSG:3035; open sea in the real world.
inline constexpr MetricPoint kDemoOrigin{3862000, 3706000};

double demo_elevation_m(const MetricPoint& place);
ElevationGrid demo_elevation_grid();
std::vector<Area> demo_catchments();

}  // namespace gaugeloom::support
