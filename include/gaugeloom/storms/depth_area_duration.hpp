#pragma once
// The largest mean depth of a storm over growing areas, for each duration: what it could do to
// catchments of each size. It describes one storm; how often such a depth comes is not in it.
// Source of the analysis: World Meteorological Organization, Manual on Estimation of Probable
// Maximum Precipitation, WMO-No. 1045 (from memory).

#include <chrono>
#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/variogram.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_map.hpp"

namespace gaugeloom {

// The mean depth over the `area` of the most rain: parts of a surface by falling depth, as many as
// fill the area, the last in part. With the bands between isohyets and their mean depths it is the
// depth-area curve of the handbooks.
//   areas, depths   of the parts, by falling depth; areas > 0, in the unit of `area`
// NaN when the parts do not fill the area, or it is not above 0. Requires: equal sizes.
double depth_over_area(std::span<const double> areas, std::span<const double> depths, double area);

struct DepthAreaDuration {
  std::size_t storm = 0;  // index in the list
  std::chrono::minutes duration{0};
  double km2 = 0;       // 0: at a gauge
  double depth_mm = 0;  // the largest mean depth over so much of the network in such a window
  Interval over;        // the first window that has it
};

struct DepthAreaOptions {
  Variogram variogram;      // sill 1, of storms
  std::size_t cells = 500;  // of the hull of the gauges, about; our choice
  int threads = 0;
};

// By storm, duration (those of storms/peak_depths.hpp that are whole numbers of steps and not
// longer than the storm, and the storm itself), then area: 0, then 1, 2 and 5 times powers of ten
// from the size of 5 cells to the hull of the gauges, then the hull. The surface of each window
// has the total of the storm's map at every cell, and the course that the nearest 16 gauges tell by
// kriging, negative weights dropped: so no window has less than nothing, and the whole storm has
// the map's depths. A cell where the map has no support keeps the total of that course. The areas
// of the most rain need not be in one piece; none has more than a gauge had. Gauges with a missing
// step in the storm are left out; a storm with fewer than 3 others has no rows.
//   maps   of the storms, safe from several threads at once
// Laws (each one is a test): the depth never rises with the area; never falls with the duration; a
//   constant field has one depth for all areas; the hull has the mean over all cells, in the whole
//   storm that of its map; the same for any number of threads.
// Cost: per storm, cells x steps x 16, and a sort of the cells for each window of each duration.
std::vector<DepthAreaDuration> depth_area_duration(std::span<const MetricPoint> gauges,
                                                   const RainTable& depth,
                                                   std::span<const Storm> storms,
                                                   const StormMaps& maps,
                                                   const DepthAreaOptions& options);

}  // namespace gaugeloom
