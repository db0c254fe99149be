#include "gaugeloom/io/elevation_reader.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

using support::TemporaryFolder;

// 5 by 4 cells of 1 km; the plane 2 east + 3 north (in km from the corner) at the centres.
std::string plane(const TemporaryFolder& folder, const std::string& crs, float hole = -1) {
  std::vector<float> values;
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 5; ++column)
      values.push_back(2 * (static_cast<float>(column) + 0.5F) +
                       3 * (3.5F - static_cast<float>(row)));
  if (hole >= 0) values[static_cast<std::size_t>(hole)] = -9999;
  const std::string file = folder / "plane.tif";
  support::write_raster(file, crs, 4321000, 3214000, 1000, 5, values);
  return file;
}

TEST(ElevationReader, KeepsAPlane) {
  const TemporaryFolder folder;
  const std::vector<MetricPoint> points = {
      {4322000, 3212000}, {4321500, 3210500}, {4325500, 3213500}, {4323217, 3211840}};
  const auto got = sample_elevation(plane(folder, "EPSG:3035"), "EPSG:3035", points);
  ASSERT_EQ(got.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    const double want = 2 * (points[i].x_m - 4321000) / 1000 + 3 * (points[i].y_m - 3210000) / 1000;
    EXPECT_NEAR(got[i], want, 1e-5) << i;  // float32 in the file
  }
}

TEST(ElevationReader, HasNoValueOutsideOrBesideNodata) {
  const TemporaryFolder folder;
  const std::vector<MetricPoint> points = {
      {4300000, 3212000}, {4321100, 3212000}, {4323000, 3212000}, {4321500, 3210500}};
  const auto got = sample_elevation(plane(folder, "EPSG:3035", 7), "EPSG:3035", points);
  EXPECT_TRUE(std::isnan(got[0]));  // off the raster
  EXPECT_TRUE(std::isnan(got[1]));  // between the edge and the outermost centres
  EXPECT_TRUE(std::isnan(got[2]));  // beside the hole
  EXPECT_NEAR(got[3], 2.5, 1e-6);
}

TEST(ElevationReader, ConvertsToTheCrsOfTheRaster) {
  const TemporaryFolder folder;
  const CrsTransform to_degrees("EPSG:3035", "EPSG:4326");
  const CrsPoint place = to_degrees.forward(CrsPoint{4322000, 3212000});
  const WorkCrs work = WorkCrs::centred_on({place.x, place.y});
  const std::vector<MetricPoint> points = {work.forward({place.x, place.y})};
  const auto got = sample_elevation(plane(folder, "EPSG:3035"), work.definition(), points);
  EXPECT_NEAR(got[0], 8, 1e-4);
}

std::vector<float> over(const std::string& raster, const std::string& crs, const Grid& grid) {
  return elevation_over(raster, crs,
                        {grid.x_min_m, grid.y_max_m, grid.cell_width_m, grid.cell_height_m},
                        grid.columns, grid.rows);
}

TEST(ElevationReader, CoversAGridAndKeepsAPlane) {
  const TemporaryFolder folder;
  const Grid grid{4322500, 3212500, 125, 125, 8, 8};  // away from the edges, where a spline leans
  for (const auto& [crs, working] :
       {std::pair("EPSG:3035", "EPSG:3035"), {"", "local"}, {"EPSG:3035", "local"}}) {
    const auto got = over(plane(folder, crs), working, grid);
    for (std::size_t i = 0; i < grid.cell_count(); ++i) {
      const MetricPoint at = grid.centre(i % 8, i / 8);
      EXPECT_NEAR(got[i], 2 * (at.x_m - 4321000) / 1000 + 3 * (at.y_m - 3210000) / 1000, 1e-3) << i;
    }
  }
}

TEST(ElevationReader, CoversCellsInDegrees) {
  const TemporaryFolder folder;
  const CrsTransform to_degrees("EPSG:3035", "EPSG:4326");
  const CrsPoint place = to_degrees.forward(CrsPoint{4323000, 3212000});
  const auto got = elevation_over(plane(folder, "EPSG:3035"), "EPSG:4326",
                                  {place.x - 0.0005, place.y + 0.0005, 0.001, 0.001}, 1, 1);
  EXPECT_NEAR(got[0], 10, 0.01);
}

TEST(ElevationReader, CoversNothingOutsideAndAtNodata) {
  const TemporaryFolder folder;
  const Grid grid{4320000, 3215000, 1000, 1000, 7, 6};  // a cell more on every side
  const auto got = over(plane(folder, "EPSG:3035", 7), "EPSG:3035", grid);
  for (std::size_t i = 0; i < 42; ++i) {
    const bool outside = i % 7 == 0 || i % 7 == 6 || i / 7 == 0 || i / 7 == 5;
    EXPECT_EQ(std::isnan(got[i]), outside || i == 2 * 7 + 3) << i;
  }
}

TEST(ElevationReader, AveragesWhereTheRasterIsFiner) {
  const TemporaryFolder folder;
  std::vector<float> teeth;  // 0 and 10 m in turn, cell by cell: 5 m on average
  for (int row = 0; row < 64; ++row)
    for (int column = 0; column < 64; ++column)
      teeth.push_back((row + column) % 2 == 0 ? 10.0F : 0.0F);
  const std::string file = folder / "teeth.tif";
  support::write_raster(file, "EPSG:3035", 4321000, 3214000, 10, 64, teeth);
  const Grid grid{4321160, 3213840, 80, 80, 4, 4};
  for (const float height : over(file, "EPSG:3035", grid)) EXPECT_NEAR(height, 5, 0.1);
}

TEST(ElevationReader, RefusesWhatIsNoRaster) {
  const TemporaryFolder folder;
  const std::vector<MetricPoint> points = {{4322000, 3212000}};
  const auto sample = [&](const std::string& file, const char* crs) {
    return sample_elevation(file, crs, points);
  };
  EXPECT_THROW(sample(folder / "absent.tif", "EPSG:3035"), Error);
  EXPECT_THROW(sample(folder.write("text.tif", "no raster"), "EPSG:3035"), Error);
  EXPECT_THROW(sample(plane(folder, ""), "EPSG:3035"), Error);
  EXPECT_NEAR(sample(plane(folder, ""), "local")[0], 8, 1e-6);
  const Grid grid{4321000, 3214000, 1000, 1000, 5, 4};
  EXPECT_THROW(over(folder / "absent.tif", "EPSG:3035", grid), Error);
  EXPECT_THROW(over(folder / "text.tif", "EPSG:3035", grid), Error);
  EXPECT_THROW(over(plane(folder, ""), "EPSG:3035", grid), Error);
}

}  // namespace
}  // namespace gaugeloom
