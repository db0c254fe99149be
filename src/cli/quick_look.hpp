#pragma once
// The picture beside a map: how it is drawn from what the map is made of.

#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "gaugeloom/time/instant.hpp"
#include "map_raster.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

// The total band of `map` over every cell, row by row; NaN without support.
std::vector<float> totals_over(const Grid& grid, const RainMap& map, int threads);

// Adds the picture of `map` over `bounds` of `plane` as `name` to the folder, in the light of the
// raster `elevation` if it is not empty: every gauge of the network with its total over `window`;
// left out where it has none. Throws: as elevation_over and write_quick_look.
void add_quick_look(OutputFolder& folder, const std::string& name, const std::string& elevation,
                    const Network& network, std::span<const StormGauge> gauges,
                    const Interval& window, const MapPlane& plane, const MetricBounds& bounds,
                    const RainMap& map, int threads);

}  // namespace gaugeloom
