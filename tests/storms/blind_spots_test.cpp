#include "gaugeloom/storms/blind_spots.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const Variogram kModel{VariogramShape::exponential, 1, 20, 20000};

// 5 x 5 gauges 10 km apart, but for the one in the middle.
std::vector<MetricPoint> square_with_a_hole() {
  std::vector<MetricPoint> gauges;
  for (int row = 0; row < 5; ++row)
    for (int column = 0; column < 5; ++column)
      if (row != 2 || column != 2) gauges.push_back({10000.0 * column, 10000.0 * row});
  return gauges;
}

Area block(double x_m, double y_m, double side_m) {
  return {"A",
          "",
          {{{{{x_m, y_m}, {x_m + side_m, y_m}, {x_m + side_m, y_m + side_m}, {x_m, y_m + side_m}},
             {}}}}};
}

TEST(BlindSpots, TheHoleIsWhereOneMoreGaugeHelpsMost) {
  const auto gauges = square_with_a_hole();
  const std::vector<double> variance(gauges.size(), 0.1);
  const std::vector<Area> areas = {block(12000, 12000, 16000)};
  BlindSpotOptions options;
  options.cell_m = 2000;
  const BlindSpots spots = find_blind_spots(gauges, variance, areas, kModel, options);
  const MetricPoint best = spots.place(best_place(spots.design.areas[0]));
  EXPECT_LE(std::hypot(best.x_m - 20000, best.y_m - 20000), 1500);
  const MetricPoint of_region = spots.place(best_place(spots.design.region));
  EXPECT_LE(std::hypot(of_region.x_m - 20000, of_region.y_m - 20000), 1500);
  const auto worst =
      std::ranges::max_element(spots.design.place_variance) - spots.design.place_variance.begin();
  const MetricPoint blind = spots.place(static_cast<std::size_t>(worst));
  EXPECT_LE(std::hypot(blind.x_m - 20000, blind.y_m - 20000), 1500);
}

TEST(BlindSpots, TheRegionHoldsTheHullAndTheAreas) {
  const auto gauges = square_with_a_hole();
  const std::vector<Area> areas = {block(70000, 0, 10000)};
  BlindSpotOptions options;
  options.cell_m = 2500;
  const BlindSpots spots = find_blind_spots(gauges, {}, areas, kModel, options);
  const double covered_m2 = static_cast<double>(spots.cells.size()) * 2500 * 2500;
  const double want_m2 = 40e3 * 40e3 + 10e3 * 10e3;
  EXPECT_NEAR(covered_m2, want_m2, 0.02 * want_m2);
  EXPECT_TRUE(std::ranges::any_of(spots.cells, [&](std::size_t cell) {
    return spots.grid.centre_x_m(cell % spots.grid.columns) > 70000;
  }));
}

TEST(BlindSpots, RefusesCellsThatAreTooMany) {
  const auto gauges = square_with_a_hole();
  BlindSpotOptions options;
  options.cell_m = 100;
  EXPECT_THROW(find_blind_spots(gauges, {}, {}, kModel, options), Error);
  options.cell_m.reset();
  EXPECT_LE(find_blind_spots(gauges, {}, {}, kModel, options).cells.size(), kUsualPlaces);
}

TEST(TypicalStorm, IsTheMeanOne) {
  const std::vector<MetricPoint> gauges = {{0, 0}, {5000, 0}, {0, 5000}};
  // Two storms: (10, 20, 30) and (4, -, 8); a dry field does not count.
  const std::vector<float> totals = {10, 4, 0, 20, std::nanf(""), 0, 30, 8, 0};
  const TypicalStorm storm = typical_storm(gauges, {totals, 3, 3});
  EXPECT_EQ(storm.storms, 2U);
  EXPECT_DOUBLE_EQ(storm.mean_mm, 13);
  EXPECT_NEAR(storm.spread_mm, std::sqrt((100.0 + 8.0) / 2), 1e-12);
  EXPECT_FALSE(storm.learned);
  EXPECT_NEAR(storm.variogram.sill(), 54, 1e-9);
  const std::vector<float> dry(3, 0);
  EXPECT_THROW(typical_storm(gauges, {dry, 3, 1}), Error);
}

}  // namespace
}  // namespace gaugeloom
