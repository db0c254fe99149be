#include <gtest/gtest.h>

#include "storms/hull_internal.hpp"

namespace gaugeloom {
namespace {

TEST(ConvexHull, MeasuresHowFarOutsideAPlaceLies) {
  const std::vector<MetricPoint> points = {{0, 0}, {4, 0}, {4, 3}, {0, 3}, {2, 1}, {2, 0}, {4, 3}};
  const ConvexHull hull(points);
  EXPECT_EQ(hull.corners().size(), 4U);
  EXPECT_EQ(hull.distance_m({1, 1}), 0);
  EXPECT_EQ(hull.distance_m({4, 3}), 0);
  EXPECT_EQ(hull.distance_m({2, 5}), 2);
  EXPECT_EQ(hull.distance_m({7, 7}), 5);
  EXPECT_TRUE(hull.contains_box({1, 1}, {3, 2}));
  EXPECT_FALSE(hull.contains_box({1, 1}, {5, 2}));
}

TEST(ConvexHull, TakesPointsOnALineAndOnOneSpot) {
  const ConvexHull line(std::vector<MetricPoint>{{0, 0}, {2, 0}, {1, 0}});
  EXPECT_EQ(line.distance_m({1, 3}), 3);
  EXPECT_EQ(line.distance_m({1, 0}), 0);
  EXPECT_FALSE(line.contains_box({0, 0}, {1, 0}));
  const ConvexHull spot(std::vector<MetricPoint>{{1, 1}, {1, 1}});
  EXPECT_EQ(spot.distance_m({4, 5}), 5);
}

}  // namespace
}  // namespace gaugeloom
