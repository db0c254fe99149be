#include "gaugeloom/io/quick_look_writer.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/rain_ramp.hpp"
#include "gaugeloom/storms/rain_classes.hpp"
#include "support/picture.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

std::uint32_t number(const Rgb& colour) {
  return static_cast<std::uint32_t>(colour.red) << 16U |
         static_cast<std::uint32_t>(colour.green) << 8U | colour.blue;
}

// A picture of a plane of rain, 10 mm in the west to 50 mm in the east.
struct Case {
  Grid grid;
  std::vector<float> totals;
  std::vector<float> shade;
  std::vector<QuickLookGauge> gauges;
  QuickLookTexts texts{"Rain, 2024-05-01 00:00 to 06:00 UTC", "Mean 30 mm", "A caution.", "A CRS"};

  explicit Case(const MetricBounds& bounds = {0, 0, 60000, 40000}) : grid(quick_look_grid(bounds)) {
    for (std::size_t i = 0; i < grid.cell_count(); ++i)
      totals.push_back(10 + 40 * (static_cast<float>(i % grid.columns) + 0.5F) /
                                static_cast<float>(grid.columns));
  }
  struct Drawn {
    QuickLookLayout layout;
    support::Picture picture;
    std::string bytes;

    std::uint32_t on_map(const Grid& cells, const MetricPoint& at) const {
      return picture.at(
          layout.map.left + static_cast<int>((at.x_m - cells.x_min_m) / cells.cell_width_m),
          layout.map.top + static_cast<int>((cells.y_max_m - at.y_m) / cells.cell_height_m));
    }
  };
  Drawn draw(int threads = 0) const {
    const support::TemporaryFolder folder;
    AtomicFile file(folder / "look.png");
    Drawn drawn;
    drawn.layout = write_quick_look(file, {grid, totals, shade, gauges, texts}, threads);
    file.commit();
    drawn.picture = support::read_picture(folder / "look.png");
    drawn.bytes = support::read_file(folder / "look.png");
    return drawn;
  }
};

bool apart(const PixelBox& a, const PixelBox& b) {
  return a.left + a.width <= b.left || b.left + b.width <= a.left || a.top + a.height <= b.top ||
         b.top + b.height <= a.top;
}

bool inside(const PixelBox& box, const PixelBox& room) {
  return box.left >= room.left && box.top >= room.top &&
         box.left + box.width <= room.left + room.width &&
         box.top + box.height <= room.top + room.height;
}

TEST(QuickLookWriter, HasTwelveHundredPixelsOnTheLongSide) {
  EXPECT_EQ(quick_look_grid({0, 0, 60000, 40000}).columns, 1200U);
  EXPECT_EQ(quick_look_grid({0, 0, 60000, 40000}).rows, 800U);
  EXPECT_EQ(quick_look_grid({0, 0, 100, 80000}).rows, 1200U);
  EXPECT_EQ(quick_look_grid({0, 0, 1e7, 1}).rows, 1U);
  const auto drawn = Case().draw();
  EXPECT_EQ(drawn.picture.width, drawn.layout.width);
  EXPECT_EQ(drawn.picture.height, drawn.layout.height);
  EXPECT_EQ(drawn.layout.map.width, 1200);
  EXPECT_EQ(drawn.layout.map.height, 800);
}

TEST(QuickLookWriter, ShowsEveryClassInTheColourOfItsLegend) {
  const Case plane;
  const auto drawn = plane.draw();
  ASSERT_EQ(drawn.layout.bounds_mm, (std::vector<double>{10, 15, 20, 25, 30, 35, 40, 45, 50}));
  ASSERT_EQ(drawn.layout.classes.size(), 8U);
  for (std::size_t i = 0; i < 8; ++i) {
    const std::uint32_t colour = number(rain_colour(static_cast<double>(i) / 7));
    const PixelBox& box = drawn.layout.classes[i];
    EXPECT_EQ(drawn.picture.at(box.left + box.width / 2, box.top + box.height / 2), colour) << i;
    const double middle_mm = drawn.layout.bounds_mm[i] + 2.5;
    EXPECT_EQ(drawn.on_map(plane.grid, {(middle_mm - 10) / 40 * 60000, 20000}), colour) << i;
  }
}

TEST(QuickLookWriter, DrawsAnIsohyetAtEveryBound) {
  const Case plane;
  const auto drawn = plane.draw();
  for (const double bound_mm : {15, 30, 45}) {
    const MetricPoint at{(bound_mm - 10) / 40 * 60000, 20000};
    const auto lightness = [&](double x_m) {
      const std::uint32_t pixel = drawn.on_map(plane.grid, {x_m, at.y_m});
      return oklab({static_cast<std::uint8_t>(pixel >> 16U), static_cast<std::uint8_t>(pixel >> 8U),
                    static_cast<std::uint8_t>(pixel)})
          .lightness;
    };
    EXPECT_LT(lightness(at.x_m), lightness(at.x_m - 500) - 0.03) << bound_mm;
    EXPECT_LT(lightness(at.x_m), lightness(at.x_m + 500)) << bound_mm;
  }
}

TEST(QuickLookWriter, LeavesWhatHasNoValueHatchedPaper) {
  Case plane;
  for (std::size_t i = 0; i < plane.totals.size(); ++i)
    if (i % 1200 < 600) plane.totals[i] = static_cast<float>(kNaN);
  const auto drawn = plane.draw();
  EXPECT_EQ(drawn.layout.bounds_mm.front(), 30);
  std::size_t paper = 0, hatched = 0;
  const std::uint32_t bare = drawn.picture.at(2, 2);
  for (int x = 100; x < 116; ++x) {
    const std::uint32_t pixel =
        drawn.picture.at(drawn.layout.map.left + x, drawn.layout.map.top + 400);
    (pixel == bare ? paper : hatched) += 1;
  }
  EXPECT_EQ(paper, 14U);
  EXPECT_EQ(hatched, 2U);
}

TEST(QuickLookWriter, ShadesWithTheLightOfTheGround) {
  Case plane;
  plane.shade.assign(plane.totals.size(), std::sqrt(0.5F));
  const auto light = [&](std::size_t first_row, float shade) {  // within the class 10 to 15 mm
    for (std::size_t row = first_row; row < first_row + 20; ++row)
      for (std::size_t column = 60; column < 90; ++column) plane.shade[row * 1200 + column] = shade;
  };
  light(400, 1);
  light(430, 0);
  light(460, static_cast<float>(kNaN));
  const auto drawn = plane.draw();
  const auto lightness = [&](int row) {
    const std::uint32_t p =
        drawn.picture.at(drawn.layout.map.left + 75, drawn.layout.map.top + row);
    return oklab({static_cast<std::uint8_t>(p >> 16U), static_cast<std::uint8_t>(p >> 8U),
                  static_cast<std::uint8_t>(p)})
        .lightness;
  };
  const double flat = oklab(rain_colour(0)).lightness;
  EXPECT_NEAR(lightness(200), flat, 0.005);
  EXPECT_GT(lightness(410), flat + 0.02);
  EXPECT_NEAR(lightness(440), flat - 0.09, 0.005);
  EXPECT_NEAR(lightness(470), flat, 0.005);
}

TEST(QuickLookWriter, MarksGaugesByWhatTheirTotalsAre) {
  Case plane;
  plane.gauges = {{"good", {10000, 10000}, 12, 0},
                  {"some", {20000, 10000}, 20, 0.1},
                  {"most", {30000, 10000}, 30, 0.5},
                  {"none", {40000, 10000}, kNaN, 0},
                  {"elsewhere", {90000, 10000}, 99, 0}};
  const auto drawn = plane.draw();
  std::vector<std::uint32_t> middles;
  for (std::size_t i = 0; i < 4; ++i)
    middles.push_back(drawn.on_map(plane.grid, plane.gauges[i].position));
  EXPECT_EQ(middles[0], 0xFFFFFFU);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < i; ++j) EXPECT_NE(middles[i], middles[j]) << i << ' ' << j;
  // Shapes: 10 pixels to the right and 10 down the disc and the lozenge have ended, the cross and
  // the triangle not.
  const auto beside = [&](std::size_t i) {
    const MetricPoint at = plane.gauges[i].position;
    return drawn.on_map(plane.grid, {at.x_m + 10 * 50, at.y_m - 9 * 50});
  };
  const auto ground = [&](std::size_t i) {
    const MetricPoint at = plane.gauges[i].position;
    return drawn.on_map(plane.grid, {at.x_m + 500, at.y_m - 3000});
  };
  EXPECT_EQ(beside(0), ground(0));
  EXPECT_EQ(beside(1), ground(1));
  EXPECT_NE(beside(2), ground(2));
  EXPECT_NE(beside(3), ground(3));
  EXPECT_EQ(drawn.layout.labels.size(), 3U);  // the one left out has no total
}

TEST(QuickLookWriter, LabelsAFewWithoutCollisions) {
  Case plane;
  for (int i = 0; i < 200; ++i)
    plane.gauges.push_back({"G" + std::to_string(i),
                            {300.0 * ((i * 7919) % 200), 200.0 * ((i * 104729) % 200)},
                            10.0 + i % 41,
                            0});
  const auto drawn = plane.draw();
  const auto& labels = drawn.layout.labels;
  EXPECT_GE(labels.size(), 4U);
  EXPECT_LE(labels.size(), 14U);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    EXPECT_TRUE(inside(labels[i], drawn.layout.map)) << i;
    for (std::size_t j = 0; j < i; ++j) EXPECT_TRUE(apart(labels[i], labels[j])) << i << ' ' << j;
    if (i < 2) continue;  // the wettest and the driest may cover marks
    for (const QuickLookGauge& gauge : plane.gauges) {
      const int x = drawn.layout.map.left + static_cast<int>(gauge.position.x_m / 50);
      const int y = drawn.layout.map.top + static_cast<int>((40000 - gauge.position.y_m) / 50);
      EXPECT_TRUE(apart(labels[i], {x, y, 1, 1})) << gauge.id;
    }
  }
}

TEST(QuickLookWriter, StaysWithinItsSheetWhateverTheNames) {
  Case plane;
  const std::vector<std::string> names = {std::string(5000, 'W'),
                                          "<script>alert(1)</script>",
                                          "\xE5\x90\x8D\xE5\x89\x8D",
                                          "\xD9\x85\xD9\x82",
                                          "\xE2\x80\xAEtxet",
                                          std::string("a\0b\x1B[31m", 8),
                                          "\xFF\xFE\xC3",
                                          "",
                                          "\xF0\x9F\x8C\xA7"};
  for (std::size_t i = 0; i < names.size(); ++i)
    plane.gauges.push_back({names[i],
                            {6000.0 * static_cast<double>(i) + 3000, 20000},
                            20.0 + static_cast<double>(i),
                            0.2});
  plane.texts.title = names[0];
  plane.texts.subtitle = names[0] + " " + names[1] + names[5];
  plane.texts.caution = names[6];
  plane.texts.crs = names[2] + names[0];
  const auto drawn = plane.draw();
  EXPECT_LT(drawn.layout.height, 2000);
  EXPECT_GE(drawn.layout.labels.size(), 5U);
  for (const PixelBox& label : drawn.layout.labels) EXPECT_TRUE(inside(label, drawn.layout.map));
  const std::uint32_t bare = drawn.picture.at(2, 2);
  for (int y = 0; y < drawn.picture.height; ++y)
    for (const int x : {0, 10, 20, 30, drawn.picture.width - 25, drawn.picture.width - 1})
      ASSERT_EQ(drawn.picture.at(x, y), bare) << x << ' ' << y;
}

TEST(QuickLookWriter, PutsTheLegendBesideATallMap) {
  const auto drawn = Case({0, 0, 8000, 60000}).draw();
  EXPECT_EQ(drawn.layout.map.height, 1200);
  EXPECT_EQ(drawn.layout.map.width, 160);
  for (const PixelBox& box : drawn.layout.classes) {
    EXPECT_GT(box.left, drawn.layout.map.left + 160);
    EXPECT_TRUE(inside(box, {0, drawn.layout.map.top, drawn.layout.width, 1200}));
  }
  EXPECT_GT(drawn.layout.classes.front().top, drawn.layout.classes.back().top);
  const auto wide = Case({0, 0, 60000, 8000}).draw();
  EXPECT_GT(wide.layout.classes.front().top, wide.layout.map.top + wide.layout.map.height);
  EXPECT_LT(wide.layout.height, 900);
  EXPECT_EQ(Case({0, 0, 1e7, 1}).draw().layout.map.height, 1);
  EXPECT_EQ(Case({0, 0, 1, 1e7}).draw().layout.map.width, 1);
}

TEST(QuickLookWriter, ShowsDroughtAndNothingKnown) {
  Case plane;
  plane.totals.assign(plane.totals.size(), 0);
  const auto dry = plane.draw();
  EXPECT_EQ(dry.layout.bounds_mm, std::vector<double>{0});
  ASSERT_EQ(dry.layout.classes.size(), 1U);
  EXPECT_EQ(dry.on_map(plane.grid, {20000, 20000}), number(rain_colour(0)));
  plane.totals.assign(plane.totals.size(), static_cast<float>(kNaN));
  EXPECT_EQ(plane.draw().layout.bounds_mm, std::vector<double>{0});
}

TEST(QuickLookWriter, WritesTheSameBytesForAnyNumberOfThreads) {
  Case plane;
  plane.shade.assign(plane.totals.size(), 0.5F);
  for (std::size_t i = 0; i < plane.shade.size(); ++i)
    plane.shade[i] = static_cast<float>((i * 31) % 1000) / 1000;
  plane.gauges = {{"A", {10000, 10000}, 12, 0}, {"B", {20000, 30000}, 20, 0.7}};
  const std::string once = plane.draw(1).bytes;
  EXPECT_EQ(once, plane.draw(1).bytes);
  EXPECT_EQ(once, plane.draw(7).bytes);
  EXPECT_EQ(once.find("tIME"), std::string::npos);
  EXPECT_EQ(once.find("tEXt"), std::string::npos);
}

TEST(QuickLookWriter, RefusesWhatIsNoPicture) {
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "look.png");
  const Grid grid{0, 1, 1, 1, 4001, 1};
  const std::vector<float> totals(4001, 1);
  EXPECT_THROW(write_quick_look(file, {grid, totals, {}, {}, {}}), Error);
  const Case plane;
  for (const long call : {1L, 2L, 3L}) {
    const auto write = [&] {
      AtomicFile full(folder / "full.png", {.fail_at_call = call});
      write_quick_look(full, {plane.grid, plane.totals, {}, {}, plane.texts});
      full.commit();
    };
    EXPECT_THROW(write(), Error) << call;
  }
}

}  // namespace
}  // namespace gaugeloom
