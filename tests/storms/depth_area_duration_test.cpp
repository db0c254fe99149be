#include "gaugeloom/storms/depth_area_duration.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <map>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

using std::chrono::minutes;

// The isohyets of a storm: B. C. Punmia, Irrigation and Water Power Engineering,
// example 4.10: areas enclosed by the isohyets of 25 to 16 mm, mean depths between them. The
// answers are computed from these; the book reads 24.1 mm at 1800 km2 off its curve (published).
TEST(DepthOverArea, IsTheCurveOfAHandbook) {
  const std::vector<double> enclosed = {407, 1008, 1522, 1909, 2216, 2460, 2651, 2782, 2910, 2936};
  const std::vector<double> answers = {25.5,        24.90376984, 24.42969777, 24.03850183,
                                       23.6868231,  23.37073171, 23.09185213, 22.87562904,
                                       22.63917526, 22.58480926};
  std::vector<double> areas, depths;
  for (std::size_t i = 0; i < enclosed.size(); ++i) {
    areas.push_back(enclosed[i] - (i == 0 ? 0 : enclosed[i - 1]));
    depths.push_back(25.5 - static_cast<double>(i));
  }
  for (std::size_t i = 0; i < enclosed.size(); ++i)
    EXPECT_NEAR(depth_over_area(areas, depths, enclosed[i]), answers[i], 1e-8);
  EXPECT_NEAR(depth_over_area(areas, depths, 1800), 24.1, 0.05);
}

// The isohyetal mean: the same book, example 4.5: 69.7 cm published, 69.7473 computed.
TEST(DepthOverArea, IsTheIsohyetalMeanOfAHandbook) {
  const std::vector<double> isohyets = {86, 85, 80, 75, 70, 65, 60, 55, 50};
  const std::vector<double> areas = {.43, 5.20, 4.0, 5.04, 5.85, 4.53, 4.09, 1.27};
  std::vector<double> depths;
  double all = 0;
  for (std::size_t i = 0; i < areas.size(); ++i) {
    depths.push_back((isohyets[i] + isohyets[i + 1]) / 2);
    all += areas[i];
  }
  EXPECT_NEAR(depth_over_area(areas, depths, all), 69.74728708, 1e-6);
}

TEST(DepthOverArea, IsUnknownBeyondTheParts) {
  EXPECT_EQ(depth_over_area(std::vector<double>{2, 2}, std::vector<double>{5, 1}, 3), 11.0 / 3);
  EXPECT_TRUE(std::isnan(depth_over_area(std::vector<double>{2}, std::vector<double>{5}, 3)));
  EXPECT_TRUE(std::isnan(depth_over_area(std::vector<double>{2}, std::vector<double>{5}, 0)));
}

DepthAreaOptions plain_options() {
  DepthAreaOptions options;
  options.variogram = {VariogramShape::exponential, 0.1, 0.9, 40000};
  options.cells = 200;
  return options;
}

std::vector<Storm> whole(const RainTable& table) {
  return {{"S", table.axis().span(), {0, table.step_count()}, false}};
}

Network network_of(const std::vector<MetricPoint>& places) {
  Network network;
  for (const MetricPoint& place : places) {
    network.gauges.emplace_back();
    network.gauges.back().position = place;
  }
  return network;
}

std::vector<DepthAreaDuration> rows_of(const std::vector<MetricPoint>& places,
                                       const RainTable& table, const std::vector<Storm>& storms,
                                       const DepthAreaOptions& options = plain_options()) {
  const auto gauges = storm_gauges(network_of(places), unchecked_record(table), {}, storms);
  return depth_area_duration(places, table, storms, storm_maps(places, gauges, options.variogram),
                             options);
}

TEST(DepthAreaDuration, OfAConstantFieldIsOneDepth) {
  const auto places = support::jittered_grid(20, 8000, 4);
  const StepAxis axis(Instant{} + minutes(30), minutes(30), 4);
  RainTable table(axis, 20);
  for (std::size_t g = 0; g < 20; ++g)
    for (std::size_t s = 0; s < 4; ++s) table.set(g, s, s == 2 ? 6.0F : 1.0F);
  const auto rows = rows_of(places, table, whole(table));
  ASSERT_FALSE(rows.empty());
  const std::map<long, double> expected = {{30, 6}, {60, 7}, {120, 9}};
  std::map<long, std::size_t> counts;
  for (const DepthAreaDuration& row : rows) {
    EXPECT_NEAR(row.depth_mm, expected.at(row.duration.count()), 1e-9);
    ++counts[row.duration.count()];
    EXPECT_EQ(row.over.length(), row.duration);
    EXPECT_TRUE(row.over.contains(axis.begin(2)));
  }
  EXPECT_EQ(counts.size(), 3U);
  EXPECT_GT(counts[30], 4U);
}

TEST(DepthAreaDuration, FallsWithTheAreaAndRisesWithTheDuration) {
  support::SyntheticRainOptions made;
  made.gauges = 25;
  made.steps = 20 * 144;
  const support::SyntheticRain rain = support::synthetic_rain(made);
  const auto storms = find_storms(unchecked_record(rain.table)).storms;
  ASSERT_GT(storms.size(), 3U);
  const auto rows = rows_of(rain.positions, rain.table, storms);
  for (std::size_t s = 0; s < storms.size(); ++s) {
    std::map<double, double> before;  // by area, of the duration before
    double smaller = 0;
    for (const DepthAreaDuration& row : rows) {
      if (row.storm != s) continue;
      EXPECT_TRUE(row.km2 == 0 || row.depth_mm <= smaller + 1e-9) << row.km2;
      EXPECT_GE(row.depth_mm, before[row.km2] - 1e-9);
      EXPECT_LE(storms[s].over.from, row.over.from);
      EXPECT_LE(row.over.to, storms[s].over.to);
      before[row.km2] = row.depth_mm;
      smaller = row.depth_mm;
    }
    EXPECT_GT(before.size(), 4U);
    EXPECT_GT(smaller, 0.5);
  }
  DepthAreaOptions threads = plain_options();
  threads.threads = 3;
  const auto again = rows_of(rain.positions, rain.table, storms, threads);
  ASSERT_EQ(rows.size(), again.size());
  for (std::size_t i = 0; i < rows.size(); ++i) EXPECT_EQ(rows[i].depth_mm, again[i].depth_mm);
}

// The hull in the whole storm has the mean of the storm's map over it.
TEST(DepthAreaDuration, OfTheHullIsThatOfTheMap) {
  const std::vector<MetricPoint> places = {
      {0, 0},       {16000, 0},   {16000, 16000}, {0, 16000},    {8000, 8000},
      {8000, 4000}, {4000, 8000}, {12000, 8000},  {8000, 12000}, {8000, 8500}};
  RainTable table(StepAxis(Instant{} + minutes(60), minutes(60), 2), places.size());
  for (std::size_t g = 0; g < places.size(); ++g)
    for (std::size_t s = 0; s < 2; ++s) table.set(g, s, g < 4 ? 0.0F : static_cast<float>(g + s));
  const auto storms = whole(table);
  const auto gauges = storm_gauges(network_of(places), unchecked_record(table), {}, storms);
  const auto map = storm_map(places, gauges, plain_options().variogram);
  const Grid grid = grid_over({0, 0, 16000, 16000}, 500);
  std::vector<float> totals(grid.cell_count());
  map->fill(grid, {0, 0, grid.columns, grid.rows}, std::array{MapBand::total}, totals);
  double mean_mm = 0;
  for (const float mm : totals)
    mean_mm += static_cast<double>(mm) / static_cast<double>(totals.size());
  const DepthAreaDuration hull = rows_of(places, table, storms).back();
  EXPECT_NEAR(hull.km2, 256, 1e-9);
  EXPECT_NEAR(hull.depth_mm, mean_mm, 0.1);  // of coarser cells
}

TEST(DepthAreaDuration, LeavesOutGaugesWithAMissingStep) {
  auto places = support::jittered_grid(12, 8000, 4);
  RainTable table(StepAxis(Instant{} + minutes(60), minutes(60), 3), 12);
  for (std::size_t g = 0; g < 12; ++g)
    for (std::size_t s = 0; s < 3; ++s) table.set(g, s, g == 5 ? 90.0F : 1.0F);
  table.set_missing(5, 2);
  for (const DepthAreaDuration& row : rows_of(places, table, whole(table)))
    EXPECT_LT(row.depth_mm, 4);
  for (std::size_t g = 2; g < 12; ++g) table.set_missing(g, 0);
  EXPECT_TRUE(rows_of(places, table, whole(table)).empty());
}

}  // namespace
}  // namespace gaugeloom
