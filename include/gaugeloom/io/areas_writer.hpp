#pragma once
// areas.csv and storm_areas.csv: the mean rain over areas.

#include <span>

#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Columns: time,area,mean_mm,low_mm,high_mm,supported_share; a row for every step and area, by time
// (the end of the step), then in the order of the areas. Depths have three decimals, shares two;
// what is unknown is empty. The caller commits `file`. Throws: Error{io_failure} naming the file.
void write_areas(AtomicFile& file, const AreaSeries& series, const StepAxis& axis,
                 std::span<const Area> areas);

// Columns: storm,area,name,km2,mean_mm,low_mm,high_mm,standard_error_mm,max_mm,share_filled,
// supported_share,gauges,thiessen_mm,inverse_distance_mm. km2 has three decimals, shares four.
// Throws as above.
void write_storm_areas(AtomicFile& file, std::span<const StormArea> rows,
                       std::span<const Storm> storms, std::span<const Area> areas);

}  // namespace gaugeloom
