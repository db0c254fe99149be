#pragma once
// Reads the list of gauges from any vector source GDAL opens: CSV, GeoPackage, GeoJSON, Shapefile,
// a PostGIS table.
//
// Fields, in any order and case: `gauge` (id, text, required); a point geometry, or `lon,lat`
// (degrees, EPSG:4326), or `x,y` (in options.crs); optional `name`, `elevation_m`, `bucket_mm`,
// `accuracy_percent`, `max_rate_mm_h`, `siphon_ml`, `opened`, `closed` (ISO 8601; UTC without an
// offset). A Shapefile cuts names to ten characters, so `elevation_`, `accuracy_p` and `max_rate_m`
// are accepted too. Unknown fields are ignored. An empty field means the default of Gauge.

#include <string>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

struct GaugeReadOptions {
  std::string layer;       // empty: the only layer, else an error lists the layers
  std::string crs;         // for sources that name none; "local" = plain metres
  std::string work_crs;    // empty: see place_in_work_crs
  bool strict = false;     // a `crs` that contradicts the source is an error, not a notice
  std::size_t fewest = 3;  // gauges; fewer cannot be told apart by their neighbours
};

// Reads the gauges in the order of the source and places them in the working CRS.
//
// Several rows of one gauge that all have `opened` or `closed` are its history (moved, another
// bucket), kept in Network::histories. The gauge itself has the row that is open last, and `opened`
// of the first: settle_histories chooses by the record.
//
// notices   sentences for stderr: gauges on one spot, a CRS given twice
//
// Throws:   Error{io_failure} when the source cannot be opened (a password in it is not shown);
//           Error{malformed_input} with the line of a CSV, or the number of the feature in the
//           sentence: a file named like a CSV that is none, no field `gauge`, no position, an empty
//           id, a number that is none or out of range, a time that is none, coordinates out of
//           range; Error{inconsistent_input}: one id twice without a history or with periods that
//           overlap, fewer than options.fewest gauges; Error{unsupported_crs}: no CRS, an unknown
//           one, or a place outside its area of use.
// Network sources (/vsicurl and the like) are opened only when `source` itself names one.
Network read_gauges(const std::string& source, const GaugeReadOptions& options,
                    std::vector<std::string>& notices);

}  // namespace gaugeloom
