#pragma once
// The GeoKeys of a CRS, as GDAL writes them.

#include <string>
#include <vector>

#include "io/tiff_layout_internal.hpp"

namespace gaugeloom {

// The tags 34735 to 34737 for `crs` ("local": none).
// Throws: Error{unsupported_crs} for a CRS that GDAL does not know.
std::vector<TiffTag> geo_key_tags(const std::string& crs);

}  // namespace gaugeloom
