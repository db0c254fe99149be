#include "gaugeloom/geo/polygon.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

Ring square(double x, double y, double side) {
  return {{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}};
}

const Polygon kPlain{{{square(0, 0, 10), {}}}};
const Polygon kHoled{{{square(0, 0, 10), {square(4, 4, 2)}}}};
const Polygon kIslands{{{square(0, 0, 10), {}}, {square(20, 0, 5), {}}}};

TEST(Polygon, MeasuresItsArea) {
  EXPECT_DOUBLE_EQ(area_m2(kPlain), 100);
  EXPECT_DOUBLE_EQ(area_m2(kHoled), 96);
  EXPECT_DOUBLE_EQ(area_m2(kIslands), 125);
  Ring clockwise = square(0, 0, 10);
  std::reverse(clockwise.begin(), clockwise.end());
  EXPECT_DOUBLE_EQ(area_m2(Polygon{{{clockwise, {}}}}), 100);
  // Far from the origin no digits are lost.
  EXPECT_DOUBLE_EQ(area_m2(Polygon{{{square(4e6, 3e6, 0.5), {}}}}), 0.25);
}

TEST(Polygon, ContainsWhatLiesInIt) {
  EXPECT_TRUE(contains(kHoled, {1, 1}));
  EXPECT_FALSE(contains(kHoled, {5, 5}));
  EXPECT_FALSE(contains(kHoled, {11, 5}));
  EXPECT_TRUE(contains(kIslands, {22, 2}));
  EXPECT_FALSE(contains(kIslands, {15, 2}));
  EXPECT_FALSE(contains(Polygon{}, {0, 0}));
}

TEST(Polygon, GivesAPointOfASharedEdgeToOneSide) {
  const Polygon left{{{{{0, 0}, {3, 0}, {4, 7}, {0, 7}}, {}}}};
  const Polygon right{{{{{3, 0}, {9, 0}, {9, 7}, {4, 7}}, {}}}};
  for (int i = 0; i < 70; ++i) {
    const double y = 0.1 * i;
    const MetricPoint on_edge{3 + (y - 0) / 7.0, y};
    EXPECT_NE(contains(left, on_edge), contains(right, on_edge)) << y;
  }
}

TEST(Polygon, NamesWhatIsWrong) {
  EXPECT_FALSE(problem(kHoled));
  EXPECT_FALSE(problem(kIslands));
  EXPECT_EQ(problem(Polygon{}).value_or(""), "the polygon is empty");
  const Polygon bow_tie{{{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, {}}}};
  EXPECT_NE(problem(bow_tie).value_or("").find("near x 5 m, y 5 m"), std::string::npos);
  const Polygon thin{{{{{0, 0}, {1, 1}}, {}}}};
  EXPECT_NE(problem(thin).value_or("").find("three corners"), std::string::npos);
  const Polygon infinite{{{{{0, 0}, {1, 1}, {HUGE_VAL, 0}}, {}}}};
  EXPECT_NE(problem(infinite).value_or("").find("finite"), std::string::npos);
  const Polygon overlapping{{{square(0, 0, 10), {}}, {square(5, 5, 10), {}}}};
  EXPECT_TRUE(problem(overlapping));
  EXPECT_TRUE(problem(Polygon{{{{}, {}}}}));
}

TEST(Polygon, LaysAGridThatNeighboursShare) {
  const auto points = grid_points(kPlain, 2);
  EXPECT_EQ(points.size(), 25U);
  EXPECT_EQ(points.front(), (MetricPoint{1, 1}));
  EXPECT_EQ(points.back(), (MetricPoint{9, 9}));
  EXPECT_EQ(grid_points(kHoled, 2).size(), 24U);
  const auto sorted = [](const MetricPoint& a, const MetricPoint& b) {
    return a.y_m < b.y_m || (a.y_m == b.y_m && a.x_m < b.x_m);
  };
  EXPECT_TRUE(std::is_sorted(points.begin(), points.end(), sorted));
}

TEST(Polygon, FindsAPointInTheThinnestPolygon) {
  const Polygon sliver{{{{{0, 0}, {100, 0.001}, {100, 0.002}}, {}}}};
  const auto points = grid_points(sliver, 50);
  ASSERT_EQ(points.size(), 1U);
  EXPECT_TRUE(contains(sliver, points[0]));
}

TEST(Polygon, LaysAboutAsManyPointsAsAsked) {
  const Polygon triangle{{{{{0, 0}, {9e3, 1e3}, {2e3, 8e3}}, {}}}};
  const auto points = about_grid_points(triangle, 500);
  EXPECT_NEAR(static_cast<double>(points.size()), 500, 25);
}

TEST(Polygon, RefusesAGridWithoutEnd) { EXPECT_THROW(grid_points(kPlain, 1e-3), Error); }

}  // namespace
}  // namespace gaugeloom
