#include "gaugeloom/io/storms_gpkg_writer.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <memory>

#include "gaugeloom/core/error.hpp"
#include "support/synthetic_rain.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};
const Variogram kStorm{VariogramShape::exponential, 0.1, 0.9, 40000};

// Two storms over 20 gauges: rain that grows towards the east, and an even one.
struct TwoStorms {
  Network network;
  std::vector<Storm> storms;
  std::vector<StormGauge> gauges;
  std::vector<Area> areas;
  std::vector<StormArea> storm_areas;

  explicit TwoStorms(const char* crs) {
    network.working_crs = crs;
    const auto places = support::jittered_grid(20, 8000, 3);
    for (std::size_t g = 0; g < places.size(); ++g) {
      Gauge gauge;
      gauge.id = "G" + std::to_string(g);
      gauge.position = {4321000 + places[g].x_m, 3210000 + places[g].y_m};
      network.gauges.push_back(gauge);
    }
    for (std::size_t s = 0; s < 2; ++s) {
      const Instant from = kBegin + std::chrono::hours(24 * s);
      storms.push_back({format(s), {from, from + std::chrono::hours(6)}, {0, 6}, false});
      for (std::size_t g = 0; g < 20; ++g) {
        StormGauge row;
        row.storm = s;
        row.gauge = g;
        row.total_mm = s == 0 ? 5 + places[g].x_m / 1000 : 7;
        row.quality = Quality::good;
        gauges.push_back(row);
      }
      StormArea area;
      area.storm = s;
      area.mean_mm = 12.3456;
      area.low_mm = std::numeric_limits<double>::quiet_NaN();
      area.gauges = 4;
      storm_areas.push_back(area);
    }
    gauges[3].total_mm = std::numeric_limits<double>::quiet_NaN();
    Area area;
    area.id = "C1";
    const double x = 4325000;
    const double y = 3215000;
    area.polygon.parts = {{{{x, y}, {x + 4000, y}, {x + 4000, y + 4000}, {x, y + 4000}},
                           {{{x + 1000, y + 1000}, {x + 2000, y + 1000}, {x + 2000, y + 2000}}}}};
    areas = {area};
  }
  static std::string format(std::size_t s) { return s == 0 ? "first" : "second"; }

  void write(const std::string& path) const {
    const std::vector<MetricPoint> places = network.positions();
    StagedPath file(path);
    write_storms_gpkg(file, {network, storms, gauges, areas, storm_areas, [&](std::size_t s) {
                               return storm_surface(places, std::span(gauges).subspan(s * 20, 20),
                                                    kStorm);
                             }});
    file.commit();
  }
};

std::unique_ptr<GDALDataset> opened(const std::string& path) {
  GDALAllRegister();
  return std::unique_ptr<GDALDataset>(
      GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY));
}

bool has(const OGRFeature& feature, const char* field) {
  return feature.IsFieldSetAndNotNull(feature.GetFieldIndex(field));
}

std::size_t times(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

TEST(StormsGpkgWriter, WritesGaugesWithTheirMisfit) {
  const support::TemporaryFolder folder;
  TwoStorms("EPSG:3035").write(folder / "storms.gpkg");
  const auto file = opened(folder / "storms.gpkg");
  ASSERT_TRUE(file);
  OGRLayer* gauges = file->GetLayerByName("gauges");
  ASSERT_NE(gauges, nullptr);
  EXPECT_EQ(gauges->GetFeatureCount(), 40);
  EXPECT_STREQ(gauges->GetSpatialRef()->GetAuthorityCode(nullptr), "3035");
  for (const auto& one : *gauges) {
    const bool unknown = one->GetFID() == 4;
    EXPECT_EQ(has(*one, "total_mm"), !unknown);
    EXPECT_EQ(has(*one, "misfit_mm"), !unknown);
    EXPECT_STREQ(one->GetFieldAsString("quality"), "good");
    if (unknown) continue;
    EXPECT_NEAR(one->GetFieldAsDouble("misfit_mm"),
                one->GetFieldAsDouble("total_mm") - one->GetFieldAsDouble("others_mm"), 0.0011);
    if (std::string(one->GetFieldAsString("storm")) == "second") {
      EXPECT_NEAR(one->GetFieldAsDouble("misfit_mm"), 0, 1e-9);
      continue;
    }
    const OGRPoint* place = one->GetGeometryRef()->toPoint();
    EXPECT_NEAR(one->GetFieldAsDouble("total_mm"), 5 + (place->getX() - 4321000) / 1000, 1e-3);
  }
}

TEST(StormsGpkgWriter, DrawsIsohyetsAcrossTheSlope) {
  const support::TemporaryFolder folder;
  TwoStorms("EPSG:3035").write(folder / "storms.gpkg");
  const auto file = opened(folder / "storms.gpkg");
  ASSERT_TRUE(file);
  OGRLayer* lines = file->GetLayerByName("isohyets");
  ASSERT_NE(lines, nullptr);
  EXPECT_GE(lines->GetFeatureCount(), 3);
  int across = 0;
  for (const auto& one : *lines) {
    EXPECT_STREQ(one->GetFieldAsString("storm"), "first");  // the other is flat
    const double depth_mm = one->GetFieldAsDouble("depth_mm");
    EXPECT_NEAR(depth_mm, 5 * std::round(depth_mm / 5), 1e-9);
    if (one->GetGeometryRef()->toLineString()->get_Length() < 15000) continue;
    ++across;
    OGREnvelope box;
    one->GetGeometryRef()->getEnvelope(&box);
    // 1 mm per km, so the isohyet of d mm runs near x = d - 5 km, but at the edges of the network.
    EXPECT_NEAR((box.MinX + box.MaxX) / 2 - 4321000, (depth_mm - 5) * 1000, 7000) << depth_mm;
  }
  EXPECT_GE(across, 3);
  double sum_m2 = 0;
  double from = 1e9;
  double to = 0;
  for (const auto& one : *file->GetLayerByName("isohyet_bands")) {
    EXPECT_TRUE(one->GetGeometryRef()->IsValid());
    sum_m2 += one->GetGeometryRef()->toMultiPolygon()->get_Area();
    from = std::min(from, one->GetFieldAsDouble("from_mm"));
    to = std::max(to, one->GetFieldAsDouble("to_mm"));
    EXPECT_LT(one->GetFieldAsDouble("from_mm"), one->GetFieldAsDouble("to_mm"));
  }
  EXPECT_GT(sum_m2, 1e9);
  EXPECT_LE(from, 10);
  EXPECT_GE(to, 35);
}

TEST(StormsGpkgWriter, WritesAreasAndStyles) {
  const support::TemporaryFolder folder;
  TwoStorms("EPSG:3035").write(folder / "storms.gpkg");
  const auto file = opened(folder / "storms.gpkg");
  ASSERT_TRUE(file);
  OGRLayer* areas = file->GetLayerByName("areas");
  ASSERT_NE(areas, nullptr);
  EXPECT_EQ(areas->GetFeatureCount(), 2);
  const OGRFeatureUniquePtr first(areas->GetNextFeature());
  EXPECT_EQ(first->GetFieldAsDouble("mean_mm"), 12.346);
  EXPECT_FALSE(has(*first, "low_mm"));
  EXPECT_EQ(first->GetFieldAsInteger("gauges"), 4);
  EXPECT_NEAR(first->GetGeometryRef()->toMultiPolygon()->get_Area(), 15.5e6, 1);
  OGRLayer* styles = file->GetLayerByName("layer_styles");
  ASSERT_NE(styles, nullptr);
  EXPECT_EQ(styles->GetFeatureCount(), 8);
  int defaults = 0;
  for (const auto& one : *styles) {
    CPLXMLNode* style = CPLParseXMLString(one->GetFieldAsString("styleSLD"));
    EXPECT_NE(style, nullptr);
    CPLDestroyXMLNode(style);
    EXPECT_NE(file->GetLayerByName(one->GetFieldAsString("f_table_name")), nullptr);
    // By default the wettest storm alone: every rule asks for it.
    const std::string text = one->GetFieldAsString("styleSLD");
    const bool is_default = one->GetFieldAsInteger("useAsDefault") == 1;
    defaults += is_default ? 1 : 0;
    EXPECT_STREQ(one->GetFieldAsString("styleName"), is_default ? "storm first" : "all storms");
    EXPECT_EQ(times(text, "<ogc:Literal>first</ogc:Literal>"),
              is_default ? times(text, "<Rule>") : 0U);
    EXPECT_EQ(times(text, "<ogc:Literal>second</ogc:Literal>"), 0U);
    // As the picture marks a gauge that measured all of it.
    EXPECT_EQ(text.find("#ffffff") != std::string::npos,
              std::string(one->GetFieldAsString("f_table_name")) == "gauges");
  }
  EXPECT_EQ(defaults, 4);
}

TEST(StormsGpkgWriter, WritesTheSameBytesAgain) {
  const support::TemporaryFolder folder;
  TwoStorms("EPSG:3035").write(folder / "one.gpkg");
  TwoStorms("EPSG:3035").write(folder / "other.gpkg");
  const std::string one = support::read_file(folder / "one.gpkg");
  EXPECT_GT(one.size(), 50000U);
  EXPECT_TRUE(one == support::read_file(folder / "other.gpkg"));
}

TEST(StormsGpkgWriter, WritesALocalNetworkAndNoStorm) {
  const support::TemporaryFolder folder;
  TwoStorms local("local");
  local.write(folder / "local.gpkg");
  EXPECT_EQ(opened(folder / "local.gpkg")->GetLayerByName("gauges")->GetFeatureCount(), 40);
  local.storms.clear();
  local.gauges.clear();
  local.areas.clear();
  local.storm_areas.clear();
  local.write(folder / "none.gpkg");
  const auto none = opened(folder / "none.gpkg");
  ASSERT_TRUE(none);
  EXPECT_EQ(none->GetLayerByName("gauges")->GetFeatureCount(), 0);
  EXPECT_EQ(none->GetLayerByName("areas"), nullptr);
}

TEST(StormsGpkgWriter, IsOpenedByOgrinfo) {
  const support::TemporaryFolder folder;
  TwoStorms("EPSG:3035").write(folder / "storms.gpkg");
  const std::string command = "ogrinfo -ro -so -al " + (folder / "storms.gpkg") + " 2>&1";
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
  ASSERT_TRUE(pipe);
  std::string said;
  std::array<char, 4096> part{};
  while (const std::size_t n = std::fread(part.data(), 1, part.size(), pipe.get()))
    said.append(part.data(), n);
  for (const char* text : {"Layer name: gauges", "Layer name: isohyets", "Layer name: areas",
                           "Layer name: isohyet_bands", "Feature Count: 40", "total_mm: Real"})
    EXPECT_NE(said.find(text), std::string::npos) << text << "\n" << said;
  EXPECT_EQ(said.find("ERROR"), std::string::npos) << said;
  EXPECT_EQ(said.find("Warning"), std::string::npos) << said;
}

TEST(StormsGpkgWriter, SaysWhereItCannotWrite) {
  const support::TemporaryFolder folder;
  try {
    TwoStorms("EPSG:3035").write(folder / "nowhere/storms.gpkg");
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::io_failure);
  }
}

}  // namespace
}  // namespace gaugeloom
