#include "gaugeloom/io/storms_gpkg_writer.hpp"

#include <fmt/format.h>
#include <gdal_alg.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/storms/rain_classes.hpp"
#include "gaugeloom/storms/storm_overview.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/gdal_session_internal.hpp"
#include "io/storm_styles_internal.hpp"

namespace gaugeloom {
namespace {

constexpr float kNodata = -9999;

struct Field {
  const char* name;
  OGRFieldType type = OFTReal;
};

OGRLinearRing* ring_of(const Ring& corners) {
  auto* ring = new OGRLinearRing;  // the polygon owns it
  for (const MetricPoint& corner : corners) ring->addPoint(corner.x_m, corner.y_m);
  ring->closeRings();
  return ring;
}

OGRMultiPolygon shape_of(const Polygon& polygon) {
  OGRMultiPolygon shape;
  for (const PolygonPart& part : polygon.parts) {
    OGRPolygon one;
    one.addRingDirectly(ring_of(part.outer));
    for (const Ring& hole : part.holes) one.addRingDirectly(ring_of(hole));
    shape.addGeometry(&one);
  }
  return shape;
}

// The time of last change, fixed while one lives.
class FixedDate {
 public:
  explicit FixedDate(const std::string& date) {
    CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", date.c_str());
  }
  ~FixedDate() { CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", nullptr); }
  FixedDate(const FixedDate&) = delete;
  FixedDate& operator=(const FixedDate&) = delete;
};

class Package {
 public:
  Package(const StagedPath& file, const StormsPackage& what)
      : file_(file), what_(what), session_(file.temporary_path()), date_(date_of(what.storms)) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) fail("GDAL lacks its GPKG driver");
    CPLStringList options;
    options.SetNameValue("VERSION", "1.3");
    dataset_.reset(
        driver->Create(file.temporary_path().c_str(), 0, 0, 0, GDT_Unknown, options.List()));
    if (!dataset_) fail(session_.message());
    if (what.network.working_crs != kLocalCrs) {
      crs_.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
      check(crs_.SetFromUserInput(what.network.working_crs.c_str()));
    }
  }

  void write() {
    OGRLayer& gauges = layer("gauges", wkbPoint,
                             {{"storm", OFTString},
                              {"gauge", OFTString},
                              {"name", OFTString},
                              {"total_mm"},
                              {"low_mm"},
                              {"high_mm"},
                              {"standard_error_mm"},
                              {"share_filled"},
                              {"share_missing"},
                              {"quality", OFTString},
                              {"others_mm"},
                              {"misfit_mm"}});
    OGRLayer& lines = layer("isohyets", wkbLineString, {{"storm", OFTString}, {"depth_mm"}});
    OGRLayer& bands =
        layer("isohyet_bands", wkbMultiPolygon, {{"storm", OFTString}, {"from_mm"}, {"to_mm"}});
    check(dataset_->StartTransaction());
    for (std::size_t s = 0; s < what_.storms.size(); ++s) {
      const StormSurface surface = what_.surface(s);
      add_gauges(gauges, s, surface);
      add_isohyets(lines, bands, what_.storms[s].id, surface);
    }
    if (!what_.areas.empty()) add_areas();
    add_styles();
    check(dataset_->CommitTransaction());
    GDALFlushCache(GDALDataset::ToHandle(dataset_.get()));
    dataset_.reset();
    if (session_.failed()) fail(session_.message());
  }

 private:
  static std::string date_of(std::span<const Storm> storms) {
    const Instant end = storms.empty() ? Instant{} : storms.back().over.to;
    std::string text = format_utc(end);
    text.insert(text.size() - 1, ".000");
    return text;
  }

  [[noreturn]] void fail(const std::string& why) const {
    // A statement that failed comes whole; what went wrong with it comes last.
    constexpr std::string_view kFailed = " failed: ";
    const std::size_t at = why.rfind(kFailed);
    throw Error(ErrorCode::io_failure,
                fmt::format("cannot be written ({}); free the disk or choose another --out",
                            at == std::string::npos ? why : why.substr(at + kFailed.size())),
                {file_.path()});
  }
  void check(OGRErr code) const {
    if (code != OGRERR_NONE) fail(session_.message());
  }

  OGRLayer& layer(const char* name, OGRwkbGeometryType type, const std::vector<Field>& fields) {
    CPLStringList options;
    options.SetNameValue("FID", "fid");
    options.SetNameValue("GEOMETRY_NAME", "geom");
    OGRSpatialReference* crs =
        what_.network.working_crs == kLocalCrs || type == wkbNone ? nullptr : &crs_;
    OGRLayer* made = dataset_->CreateLayer(name, crs, type, options.List());
    if (made == nullptr) fail(session_.message());
    for (const Field& field : fields) {
      OGRFieldDefn definition(field.name, field.type);
      check(made->CreateField(&definition));
    }
    return *made;
  }

  // Writes a feature; a NaN stays null.
  class Row {
   public:
    explicit Row(OGRLayer& layer) : layer_(layer), feature_(layer.GetLayerDefn()) {}
    Row& text(const std::string& value) {
      feature_.SetField(next_++, value.c_str());
      return *this;
    }
    // Thousandths: what is written is what the tables say.
    Row& number(double value) {
      if (value == value) feature_.SetField(next_, std::round(value * 1000) / 1000);
      ++next_;
      return *this;
    }
    OGRErr write(const OGRGeometry* shape) {
      if (shape != nullptr) feature_.SetGeometry(shape);
      return layer_.CreateFeature(&feature_);
    }

   private:
    OGRLayer& layer_;
    OGRFeature feature_;
    int next_ = 0;
  };

  void add_gauges(OGRLayer& layer, std::size_t storm, const StormSurface& surface) {
    const std::size_t count = what_.network.size();
    for (const StormGauge& one : what_.gauges.subspan(storm * count, count)) {
      const Gauge& gauge = what_.network.gauges[one.gauge];
      const double others_mm = surface.others_mm[one.gauge];
      Row row(layer);
      row.text(what_.storms[storm].id).text(gauge.id).text(gauge.name);
      row.number(one.total_mm).number(one.low_mm).number(one.high_mm);
      row.number(one.standard_error_mm).number(one.share_filled).number(one.share_missing);
      row.text(std::string(word(one.quality))).number(others_mm).number(one.total_mm - others_mm);
      const OGRPoint place(gauge.position.x_m, gauge.position.y_m);
      check(row.write(&place));
      if (one.total_mm > highest_mm_) highest_mm_ = one.total_mm;
    }
  }

  void add_areas() {
    OGRLayer& areas = layer("areas", wkbMultiPolygon,
                            {{"storm", OFTString},
                             {"area", OFTString},
                             {"name", OFTString},
                             {"km2"},
                             {"mean_mm"},
                             {"low_mm"},
                             {"high_mm"},
                             {"standard_error_mm"},
                             {"max_mm"},
                             {"share_filled"},
                             {"supported_share"},
                             {"gauges", OFTInteger},
                             {"thiessen_mm"},
                             {"inverse_distance_mm"}});
    for (const StormArea& one : what_.storm_areas) {
      const Area& area = what_.areas[one.area];
      Row row(areas);
      row.text(what_.storms[one.storm].id).text(area.id).text(area.name);
      row.number(area_m2(area.polygon) / 1e6).number(one.mean_mm).number(one.low_mm);
      row.number(one.high_mm).number(one.standard_error_mm).number(one.max_mm);
      row.number(one.share_filled).number(one.supported_share);
      row.number(static_cast<double>(one.gauges));
      row.number(one.thiessen_mm).number(one.inverse_distance_mm);
      const OGRMultiPolygon shape = shape_of(area.polygon);
      check(row.write(&shape));
    }
  }

  // The surface as a raster in memory.
  gdal::Dataset raster_of(const StormSurface& surface) const {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("MEM");
    const auto columns = static_cast<int>(surface.grid.columns);
    const auto rows = static_cast<int>(surface.grid.rows);
    gdal::Dataset raster(
        driver == nullptr ? nullptr : driver->Create("", columns, rows, 1, GDT_Float32, nullptr));
    if (!raster) fail("GDAL cannot hold a raster in memory");
    std::array<double, 6> place = {
        surface.grid.x_min_m,       surface.grid.cell_width_m, 0, surface.grid.y_max_m, 0,
        -surface.grid.cell_height_m};
    raster->SetGeoTransform(place.data());
    std::vector<float> cells = surface.total_mm;
    for (float& cell : cells)
      if (std::isnan(cell)) cell = kNodata;
    GDALRasterBand* band = raster->GetRasterBand(1);
    band->SetNoDataValue(static_cast<double>(kNodata));
    if (band->RasterIO(GF_Write, 0, 0, columns, rows, cells.data(), columns, rows, GDT_Float32, 0,
                       0, nullptr) != CE_None)
      fail(session_.message());
    return raster;
  }

  // Contours of the raster at these depths, in memory: field 0 (and 1) hold the depths.
  gdal::Dataset contours_of(GDALDataset& raster, const std::string& levels, bool polygons) const {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("Memory");
    gdal::Dataset found(driver == nullptr ? nullptr
                                          : driver->Create("", 0, 0, 0, GDT_Unknown, nullptr));
    if (!found) fail("GDAL cannot hold contours in memory");
    OGRLayer* lines =
        found->CreateLayer("contours", nullptr, polygons ? wkbMultiPolygon : wkbLineString);
    OGRFieldDefn low("low", OFTReal);
    OGRFieldDefn high("high", OFTReal);
    lines->CreateField(&low);
    lines->CreateField(&high);
    CPLStringList options;
    options.SetNameValue("FIXED_LEVELS", levels.c_str());
    options.SetNameValue("NODATA", fmt::format("{}", kNodata).c_str());
    options.SetNameValue(polygons ? "ELEV_FIELD_MIN" : "ELEV_FIELD", "0");
    if (polygons) options.SetNameValue("ELEV_FIELD_MAX", "1");
    if (polygons) options.SetNameValue("POLYGONIZE", "YES");
    if (GDALContourGenerateEx(GDALRasterBand::ToHandle(raster.GetRasterBand(1)),
                              OGRLayer::ToHandle(lines), options.List(), nullptr,
                              nullptr) != CE_None)
      fail(session_.message());
    return found;
  }

  void add_isohyets(OGRLayer& lines, OGRLayer& bands, const std::string& storm,
                    const StormSurface& surface) {
    float lowest = std::numeric_limits<float>::infinity();
    float highest = -1;
    for (const float mm : surface.total_mm) {
      if (std::isnan(mm)) continue;
      lowest = std::min(lowest, mm);
      highest = std::max(highest, mm);
    }
    if (highest <= lowest) return;  // nothing supported, or flat
    const auto bounds = class_bounds_mm(static_cast<double>(lowest), static_cast<double>(highest));
    std::string inner;
    for (std::size_t i = 1; i + 1 < bounds.size(); ++i)
      inner += fmt::format("{}{:g}", inner.empty() ? "" : ",", bounds[i]);
    if (inner.empty()) return;
    const gdal::Dataset raster = raster_of(surface);
    const gdal::Dataset levels = contours_of(*raster, inner, false);
    for (const auto& line : levels->GetLayer(0))
      check(Row(lines).text(storm).number(line->GetFieldAsDouble(0)).write(line->GetGeometryRef()));
    const gdal::Dataset areas = contours_of(*raster, inner, true);
    for (const auto& band : areas->GetLayer(0)) {
      // The outermost bands end where the surface does, not at a round depth.
      const double from = std::max(band->GetFieldAsDouble(0), bounds.front());
      const double to = std::min(band->GetFieldAsDouble(1), bounds.back());
      check(Row(bands).text(storm).number(from).number(to).write(band->GetGeometryRef()));
    }
  }

  void add_styles() {
    OGRLayer& styles = layer("layer_styles", wkbNone,
                             {{"f_table_catalog", OFTString},
                              {"f_table_schema", OFTString},
                              {"f_table_name", OFTString},
                              {"f_geometry_column", OFTString},
                              {"styleName", OFTString},
                              {"styleQML", OFTString},
                              {"styleSLD", OFTString},
                              {"useAsDefault", OFTInteger},
                              {"description", OFTString},
                              {"owner", OFTString},
                              {"ui", OFTString},
                              {"update_time", OFTString}});
    const auto most = wettest_storm(storm_overviews(what_.gauges, what_.network.size()));
    const std::string wettest = most ? what_.storms[*most].id : "";
    for (const char* name : {"gauges", "isohyets", "isohyet_bands", "areas"}) {
      if (std::string(name) == "areas" && what_.areas.empty()) continue;
      if (!wettest.empty()) add_style(styles, name, wettest, true);
      add_style(styles, name, "", wettest.empty());
    }
  }

  void add_style(OGRLayer& styles, const char* name, const std::string& storm, bool is_default) {
    Row row(styles);
    row.text("").text("").text(name).text("geom");
    row.text(storm.empty() ? "all storms" : "storm " + storm).text("");
    row.text(storm_style(name, storm, highest_mm_)).number(is_default ? 1 : 0);
    row.text("").text("").text("");
    check(row.text(date_of(what_.storms)).write(nullptr));
  }

  const StagedPath& file_;
  const StormsPackage& what_;
  gdal::Session session_;
  FixedDate date_;
  gdal::Dataset dataset_;
  OGRSpatialReference crs_;
  double highest_mm_ = 0;
};

}  // namespace

void write_storms_gpkg(const StagedPath& file, const StormsPackage& package) {
  Package(file, package).write();
}

}  // namespace gaugeloom
