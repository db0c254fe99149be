#include "gaugeloom/report/storm_picture.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "gaugeloom/geo/work_crs.hpp"
#include "support/picture.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

support::Picture read_back(const StormPicture& picture) {
  const support::TemporaryFolder folder;
  return support::read_picture(folder.write("p.png", picture.png));
}

std::uint32_t number(const Rgb& colour) {
  return static_cast<std::uint32_t>(colour.red) << 16U |
         static_cast<std::uint32_t>(colour.green) << 8U | colour.blue;
}

TEST(StormPicture, ShowsClassesWhereTheyLieInAPlane) {
  const Grid grid{100, 240, 10, 10, 4, 4};  // x 100 to 140, y 200 to 240
  std::vector<float> totals(16, 1.0F);
  for (std::size_t row = 0; row < 4; ++row) totals[4 * row] = totals[4 * row + 1] = 9.0F;
  const PictureFrame frame({grid, kLocalCrs}, 40);
  const StormPicture picture = frame.picture(7, totals);
  EXPECT_EQ(picture.storm, 7U);
  EXPECT_EQ(picture.south, 200);
  EXPECT_EQ(picture.west, 100);
  EXPECT_EQ(picture.north, 240);
  EXPECT_EQ(picture.east, 140);
  const support::Picture got = read_back(picture);
  ASSERT_EQ(got.width, 40);
  ASSERT_EQ(got.height, 40);
  const std::size_t classes = picture.bounds_mm.size() - 1;
  EXPECT_EQ(got.at(2, 20), number(class_colour(classes - 1, classes)));  // wet in the west
  EXPECT_EQ(got.at(37, 20), number(class_colour(0, classes)));
}

TEST(StormPicture, IsClearWhereNothingIsKnown) {
  const Grid grid{0, 40, 10, 10, 4, 4};
  std::vector<float> totals(16, 5.0F);
  totals[0] = kNan;  // the north-west corner
  const StormPicture picture = PictureFrame({grid, kLocalCrs}, 40).picture(0, totals);
  const support::Picture got = read_back(picture);
  EXPECT_EQ(got.at(2, 2), 0x00FF00U);
  EXPECT_NE(got.at(12, 2), 0x00FF00U);
  EXPECT_NE(got.at(2, 12), 0x00FF00U);
  // The chunk that says so: opaque up to the clear colour.
  const std::size_t at = picture.png.find("tRNS");
  ASSERT_NE(at, std::string::npos);
  const std::size_t length = static_cast<unsigned char>(picture.png[at - 1]);
  EXPECT_EQ(picture.png[at + 4 + length - 1], '\0');
}

TEST(StormPicture, SaysNothingWhereNothingIsKnownAnywhere) {
  const Grid grid{0, 20, 10, 10, 2, 2};
  const std::vector<float> nothing(4, kNan);
  const support::Picture got = read_back(PictureFrame({grid, kLocalCrs}, 8).picture(0, nothing));
  for (const std::uint32_t pixel : got.pixels) EXPECT_EQ(pixel, 0x00FF00U);
}

// A place of the plane must appear where a web map puts its latitude: rows even in Mercator.
TEST(StormPicture, PutsAPlaceWhereAWebMapDoes) {
  const Grid grid{4200000, 3700000, 10000, 10000, 60, 60};  // 600 km of EPSG:3035
  std::vector<float> totals(grid.cell_count(), 1.0F);
  const std::size_t column = 17, row = 44;
  for (std::size_t r = row - 1; r <= row + 1; ++r)
    for (std::size_t c = column - 1; c <= column + 1; ++c) totals[r * 60 + c] = 20.0F;
  const PictureFrame frame({grid, "EPSG:3035"}, 600);
  const StormPicture picture = frame.picture(0, totals);
  const CrsTransform transform(kLonLatCrs, "EPSG:3035");
  const MetricPoint centre = grid.centre(column, row);
  const CrsPoint place = transform.inverse(CrsPoint{centre.x_m, centre.y_m});
  const CrsTransform web(kLonLatCrs, "EPSG:3857");  // by PROJ, not by our formula
  const double top = web.forward(CrsPoint{place.x, picture.north}).y;
  const double bottom = web.forward(CrsPoint{place.x, picture.south}).y;
  const double y = web.forward(place).y;
  const support::Picture got = read_back(picture);
  const auto pixel_x =
      static_cast<int>((place.x - picture.west) / (picture.east - picture.west) * got.width);
  const auto pixel_y = static_cast<int>((top - y) / (top - bottom) * got.height);
  const std::uint32_t wet = got.at(pixel_x, pixel_y);
  const std::size_t classes = picture.bounds_mm.size() - 1;
  EXPECT_EQ(wet, number(class_colour(classes - 1, classes)));
  EXPECT_EQ(classes, 10U);  // 0 to 20 by 2: no rounding has opened one more
  // And it is the middle of the wet square: as far to all of its sides, within two pixels.
  const auto reach = [&](int dx, int dy) {
    int steps = 0;
    while (got.at(pixel_x + steps * dx, pixel_y + steps * dy) == wet) ++steps;
    return steps;
  };
  EXPECT_NEAR(reach(1, 0), reach(-1, 0), 2);
  EXPECT_NEAR(reach(0, 1), reach(0, -1), 2);
  EXPECT_GT(reach(1, 0), 5);
}

}  // namespace
}  // namespace gaugeloom
