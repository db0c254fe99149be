#include "gaugeloom/geo/thiessen.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const Polygon kSquare{{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, {}}}};

TEST(Thiessen, GivesEverythingToTheOnlyGauge) {
  const std::vector<MetricPoint> one = {{-50, 3}};
  const auto cells = thiessen_cells(one, kSquare);
  ASSERT_EQ(cells.size(), 1U);
  EXPECT_DOUBLE_EQ(cells[0].weight, 1);
  EXPECT_DOUBLE_EQ(cells[0].area_m2, 100);
}

TEST(Thiessen, SharesACellBetweenGaugesOnOneSpot) {
  const std::vector<MetricPoint> gauges = {{2, 5}, {8, 5}, {2, 5}};
  const auto cells = thiessen_cells(gauges, kSquare);
  EXPECT_DOUBLE_EQ(cells[0].weight, 0.25);
  EXPECT_DOUBLE_EQ(cells[1].weight, 0.5);
  EXPECT_DOUBLE_EQ(cells[2].weight, 0.25);
}

TEST(Thiessen, GivesNothingToAGaugeFarOutside) {
  const std::vector<MetricPoint> gauges = {{5, 5}, {500, 5}};
  const auto cells = thiessen_cells(gauges, kSquare);
  EXPECT_DOUBLE_EQ(cells[0].weight, 1);
  EXPECT_DOUBLE_EQ(cells[1].weight, 0);
  EXPECT_TRUE(cells[1].polygon.parts.empty());
}

TEST(Thiessen, CutsALineOfGaugesIntoStripes) {
  std::vector<MetricPoint> gauges;
  for (int i = 0; i < 10; ++i) gauges.push_back({0.5 + i, 5});
  for (const ThiessenCell& cell : thiessen_cells(gauges, kSquare))
    EXPECT_NEAR(cell.weight, 0.1, 1e-12);
}

TEST(Thiessen, RefusesAnInvalidArea) {
  const Polygon bow_tie{{{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, {}}}};
  EXPECT_THROW(thiessen_cells(std::vector<MetricPoint>{{1, 1}}, bow_tie), Error);
}

}  // namespace
}  // namespace gaugeloom
