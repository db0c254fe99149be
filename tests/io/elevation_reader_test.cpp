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
}

}  // namespace
}  // namespace gaugeloom
