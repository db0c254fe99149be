#include "support/vector_file.hpp"

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <memory>
#include <set>
#include <stdexcept>

namespace gaugeloom::support {
namespace {

void require(bool done, const char* what) {
  if (!done) throw std::runtime_error(std::string("test file: ") + what);
}

std::unique_ptr<OGRSpatialReference> reference(const std::string& crs) {
  if (crs.empty()) return nullptr;
  auto made = std::make_unique<OGRSpatialReference>();
  require(made->SetFromUserInput(crs.c_str()) == OGRERR_NONE, "unknown CRS");
  made->SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return made;
}

void add_feature(OGRLayer& layer, const VectorFeature& given) {
  OGRFeatureUniquePtr feature(OGRFeature::CreateFeature(layer.GetLayerDefn()));
  for (const auto& [name, text] : given.fields) {
    int field = feature->GetFieldIndex(name.c_str());
    if (field < 0) field = feature->GetFieldIndex(name.substr(0, 10).c_str());
    require(field >= 0, "field");
    if (!text.empty()) feature->SetField(field, text.c_str());
  }
  if (!given.wkt.empty()) {
    OGRGeometry* geometry = nullptr;
    require(OGRGeometryFactory::createFromWkt(given.wkt.c_str(), nullptr, &geometry) == OGRERR_NONE,
            "geometry");
    feature->SetGeometryDirectly(geometry);
  }
  require(layer.CreateFeature(feature.get()) == OGRERR_NONE, "feature");
}

}  // namespace

void write_vector(const std::string& path, const std::string& driver, const std::string& layer,
                  const std::string& crs, const std::vector<VectorFeature>& features,
                  const std::vector<std::string>& real_fields) {
  GDALAllRegister();
  CPLPushErrorHandler(CPLQuietErrorHandler);  // a Shapefile warns of the names it cuts
  GDALDriver* with = GetGDALDriverManager()->GetDriverByName(driver.c_str());
  require(with != nullptr, "driver");
  const auto srs = reference(crs);
  bool polygons = false;
  std::set<std::string> names;
  for (const VectorFeature& feature : features) {
    polygons = polygons || feature.wkt.find("POLYGON") != std::string::npos;
    for (const auto& [name, text] : feature.fields) names.insert(name);
  }
  {
    std::unique_ptr<GDALDataset> file(with->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
    require(file != nullptr, "create");
    const bool shapefile = driver == "ESRI Shapefile";
    OGRLayer* into =
        file->CreateLayer(layer.c_str(), srs.get(),
                          shapefile ? (polygons ? wkbPolygon : wkbPoint) : wkbUnknown, nullptr);
    require(into != nullptr, "layer");
    for (const std::string& name : names) {
      const bool real =
          std::find(real_fields.begin(), real_fields.end(), name) != real_fields.end();
      OGRFieldDefn field(name.c_str(), real ? OFTReal : OFTString);
      require(into->CreateField(&field) == OGRERR_NONE, "field");
    }
    for (const VectorFeature& feature : features) add_feature(*into, feature);
  }
  CPLPopErrorHandler();
}

void write_raster(const std::string& path, const std::string& crs, double west, double north,
                  double cell, int columns, const std::vector<float>& values, double nodata) {
  GDALAllRegister();
  GDALDriver* tiff = GetGDALDriverManager()->GetDriverByName("GTiff");
  const int rows = static_cast<int>(values.size()) / columns;
  std::unique_ptr<GDALDataset> file(
      tiff->Create(path.c_str(), columns, rows, 1, GDT_Float32, nullptr));
  require(file != nullptr, "create");
  double place[6] = {west, cell, 0, north, 0, -cell};
  file->SetGeoTransform(place);
  if (const auto srs = reference(crs)) file->SetSpatialRef(srs.get());
  GDALRasterBand* band = file->GetRasterBand(1);
  band->SetNoDataValue(nodata);
  std::vector<float> copy = values;
  require(band->RasterIO(GF_Write, 0, 0, columns, rows, copy.data(), columns, rows, GDT_Float32, 0,
                         0, nullptr) == CE_None,
          "write");
}

}  // namespace gaugeloom::support
