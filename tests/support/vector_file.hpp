#pragma once
// Writes small vector files and rasters with GDAL, for tests of the readers.

#include <map>
#include <string>
#include <vector>

namespace gaugeloom::support {

struct VectorFeature {
  std::map<std::string, std::string> fields;  // by name, as text
  std::string wkt;                            // geometry; empty = none
};

// `driver` as GDAL names it ("GPKG", "GeoJSON", "ESRI Shapefile"); `crs` may be empty. All fields
// are texts, but those in `real_fields` are numbers.
void write_vector(const std::string& path, const std::string& driver, const std::string& layer,
                  const std::string& crs, const std::vector<VectorFeature>& features,
                  const std::vector<std::string>& real_fields = {});

// A GeoTIFF of one float band, north up. values row by row from the north-west corner.
void write_raster(const std::string& path, const std::string& crs, double west, double north,
                  double cell, int columns, const std::vector<float>& values,
                  double nodata = -9999);

}  // namespace gaugeloom::support
