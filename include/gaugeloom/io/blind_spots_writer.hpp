#pragma once
// blind_spots.csv, new_gauge.csv and blind_spots.tif: what a network cannot see.

#include <span>
#include <string>
#include <utility>
#include <vector>

#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/storms/blind_spots.hpp"

namespace gaugeloom {

// What the files speak of: gauges and areas are those of `spots`, in their order.
struct BlindSpotReport {
  const BlindSpots& spots;
  std::span<const Gauge> gauges;
  std::span<const Area> areas;
  const Variogram& variogram;
  std::string crs;  // of the positions

  std::vector<MetricPoint> positions() const;
};

// Columns: area,gauge,standard_error_mm,without_mm,rise_percent; errors of a typical storm's total
// with all gauges and if that gauge alone failed, three decimals, the rise two. First the region,
// as area "(region)": there it is the root mean square over its places; then each area, its mean.
// Within each the largest rise first. Throws: Error{io_failure}. The caller commits `file`.
void write_blind_spots(AtomicFile& file, const BlindSpotReport& report);

// Columns: area,x,y,lon,lat,standard_error_mm,with_mm,fall_percent,nearest_gauge,distance_km: the
// best place for one more gauge, for the region and each area. lon and lat are empty for a local
// CRS. Throws: Error{io_failure}; as WorkCrs. The caller commits `file`.
void write_new_gauge(AtomicFile& file, const BlindSpotReport& report);

// Three bands: standard error of a typical storm's total, mm; fall of the region's error with one
// more gauge in the cell, %; distance to the nearest gauge, km. Throws: as write_geotiff.
void write_blind_spot_map(const std::string& path, const BlindSpotReport& report,
                          std::vector<std::pair<std::string, std::string>> metadata, int threads);

}  // namespace gaugeloom
