#pragma once
// Reads catchments: polygons with an id, from any vector source GDAL opens.

#include <string>
#include <vector>

#include "gaugeloom/geo/polygon.hpp"

namespace gaugeloom {

struct AreaReadOptions {
  std::string layer;     // empty: the only layer
  std::string id_field;  // empty: the first of area, catchment, id, name that is there
  std::string crs;       // for sources that name none
};

// Reads the polygons in the order of the source, in `working_crs` (Network::working_crs). An edge
// is a straight line between its corners in the working CRS. A field `name` fills Area::name.
//
// Throws: Error{io_failure} when the source cannot be opened; Error{malformed_input} for no id
//         field, an empty id, a geometry that is no polygon; Error{inconsistent_input} for one id
//         twice, an invalid polygon, or no polygon at all; Error{unsupported_crs}.
std::vector<Area> read_areas(const std::string& source, const std::string& working_crs,
                             const AreaReadOptions& options, std::vector<std::string>& notices);

}  // namespace gaugeloom
