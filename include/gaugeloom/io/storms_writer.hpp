#pragma once
// storms.csv, storm_gauges.csv, storm_track.csv and depth_area_duration.csv.

#include <span>

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/storms/depth_area_duration.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "gaugeloom/storms/storm_overview.hpp"
#include "gaugeloom/storms/storm_track.hpp"

namespace gaugeloom {

// All of them: depths, intensities and metres have three decimals, degrees six, shares four, speeds
// one; what is unknown is empty; rows by storm, then in the order of the network or by time.
// The durations are 5min, 10min, 15min, 30min, 1h, 2h, 3h, 6h, 12h and 24h. The caller commits
// `file`. Throws: Error{io_failure} naming the file; Error{unsupported_crs} where a centre leaves
// the area
//         of use of the working CRS.

// Columns: storm,from,to,running (yes or no),hours,mean_mm,max_mm,max_gauge,gauges,gauges_wet,
// share_filled,share_missing,centre_lon,centre_lat,centre_x_m,centre_y_m,towards,speed_km_h,
// east_km_h,north_km_h,motion_explained, then peak_<duration>_mm_h, the highest intensity at any
// gauge. Requires: equal sizes.
void write_storms(AtomicFile& file, std::span<const Storm> storms,
                  std::span<const StormOverview> overviews, std::span<const StormTrack> tracks,
                  const Network& network);

// Columns: storm,gauge,total_mm,low_mm,high_mm,standard_error_mm,gauge_error_mm,fill_error_mm,
// share_filled,share_missing,quality,wet_from,wet_to, then peak_<duration>_mm.
void write_storm_gauges(AtomicFile& file, std::span<const StormGauge> rows,
                        std::span<const Storm> storms, const Network& network);

// Columns: storm,from,to,mean_mm,gauges_wet,lon,lat,x_m,y_m.
void write_storm_tracks(AtomicFile& file, std::span<const Storm> storms,
                        std::span<const StormTrack> tracks, const Network& network);

// Columns: storm,duration,area_km2,depth_mm,from,to. Durations like 30min or 6h; km2 have three
// decimals, 0 is a gauge.
void write_depth_area_duration(AtomicFile& file, std::span<const DepthAreaDuration> rows,
                               std::span<const Storm> storms);

}  // namespace gaugeloom
