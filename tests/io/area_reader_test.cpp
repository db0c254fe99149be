#include "gaugeloom/io/area_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

using support::TemporaryFolder;
using support::VectorFeature;

const char* const kSquareWkt =
    "POLYGON ((4321000 3210000, 4331000 3210000, 4331000 3220000, 4321000 3220000, 4321000 "
    "3210000),"
    "(4325000 3214000, 4326000 3214000, 4326000 3215000, 4325000 3215000, 4325000 3214000))";
const char* const kTwoPartsWkt =
    "MULTIPOLYGON (((4340000 3210000, 4341000 3210000, 4341000 3211000, 4340000 3210000)),"
    "((4350000 3210000, 4352000 3210000, 4352000 3212000, 4350000 3212000, 4350000 3210000)))";

std::vector<Area> read(const std::string& source, const std::string& crs = "EPSG:3035",
                       const AreaReadOptions& options = {}) {
  std::vector<std::string> notices;
  return read_areas(source, crs, options, notices);
}

TEST(AreaReader, ReadsPartsAndHoles) {
  const TemporaryFolder folder;
  const std::string file = folder / "areas.gpkg";
  support::write_vector(file, "GPKG", "areas", "EPSG:3035",
                        {{{{"catchment", "C1"}, {"name", "Upper"}}, kSquareWkt},
                         {{{"catchment", "C2"}, {"name", ""}}, kTwoPartsWkt}});
  const auto areas = read(file);
  ASSERT_EQ(areas.size(), 2U);
  EXPECT_EQ(areas[0].id, "C1");
  EXPECT_EQ(areas[0].name, "Upper");
  EXPECT_DOUBLE_EQ(area_m2(areas[0].polygon), 99e6);
  EXPECT_EQ(areas[1].polygon.parts.size(), 2U);
  EXPECT_DOUBLE_EQ(area_m2(areas[1].polygon), 4.5e6);
}

TEST(AreaReader, ConvertsDegreesToTheWorkingCrs) {
  const TemporaryFolder folder;
  const std::string file = folder.write(
      "a.geojson",
      R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"id":7},
      "geometry":{"type":"Polygon","coordinates":[[[10,52],[10.1,52],[10.1,52.1],[10,52.1],[10,52]]]}}]})");
  const auto areas = read(file);
  ASSERT_EQ(areas.size(), 1U);
  EXPECT_EQ(areas[0].id, "7");
  // 0.1 degrees square at 52 N on the sphere of 6371 km: 76.0 km2 (computed).
  EXPECT_NEAR(area_m2(areas[0].polygon) * 1e-6, 76.2, 0.6);
}

void expect_refused(const std::vector<VectorFeature>& features, const std::string& crs,
                    const std::string& part) {
  const TemporaryFolder folder;
  const std::string file = folder / "bad.gpkg";
  support::write_vector(file, "GPKG", "bad", crs, features);
  try {
    read(file);
    ADD_FAILURE() << "nothing thrown; wanted: " << part;
  } catch (const Error& error) {
    EXPECT_NE(std::string(error.what()).find(part), std::string::npos) << error.what();
  }
}

TEST(AreaReader, SaysWhatIsWrong) {
  expect_refused({{{{"code", "1"}}, kSquareWkt}}, "EPSG:3035",
                 "no field area, catchment, id or name");
  expect_refused({{{{"area", ""}}, kSquareWkt}}, "EPSG:3035", "feature 1: the id of the area is");
  expect_refused({{{{"area", "1"}}, "POINT (1 1)"}}, "EPSG:3035", "an area is a polygon");
  expect_refused({{{{"area", "1"}}, ""}}, "EPSG:3035", "has no polygon");
  expect_refused({{{{"area", "1"}}, kSquareWkt}, {{{"area", "1"}}, kSquareWkt}}, "EPSG:3035",
                 "area 1 stands twice (feature 2)");
  expect_refused({{{{"area", "1"}},
                   "POLYGON ((4321000 3210000, 4331000 3220000, 4331000 3210000, 4321000 3220000, "
                   "4321000 3210000))"}},
                 "EPSG:3035", "near x 4326000 m, y 3215000 m");
  expect_refused({{{{"area", "1"}}, kSquareWkt}}, "", "do not name their CRS");
  EXPECT_THROW(read("/no/such/areas.gpkg"), Error);
}

}  // namespace
}  // namespace gaugeloom
