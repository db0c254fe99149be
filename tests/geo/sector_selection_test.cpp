#include "gaugeloom/geo/sector_selection.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

TEST(SectorSelection, CountsSectorsFromEastTowardsNorth) {
  const std::vector<MetricPoint> round = {{2, 0},  {2, 1},   {1, 1},  {0, 2},  {-1, 1}, {-2, 1},
                                          {-2, 0}, {-1, -1}, {0, -2}, {1, -1}, {2, -1}};
  const std::vector<int> quadrants = {0, 0, 0, 1, 1, 1, 2, 2, 3, 3, 3};
  const std::vector<int> octants = {0, 0, 1, 2, 3, 3, 4, 5, 6, 7, 7};
  for (std::size_t i = 0; i < round.size(); ++i) {
    const MetricPoint point{100 + round[i].x_m, 200 + round[i].y_m};
    EXPECT_EQ(sector_of({100, 200}, point, Sectors::quadrants), quadrants[i]) << i;
    EXPECT_EQ(sector_of({100, 200}, point, Sectors::octants), octants[i]) << i;
  }
  EXPECT_EQ(sector_of({1, 1}, {1, 1}, Sectors::octants), 0);
}

TEST(SectorSelection, TakesTheNearestOfEachQuadrant) {
  // Gauges B to E around A: Punmia, Irrigation and Water Power Engineering, example 4.4
  // (published). A second, farther gauge in the quadrant of B must not be taken.
  const std::vector<MetricPoint> gauges = {{9, 6}, {12, -9}, {-11, -6}, {-7, 7}, {10, 8}};
  const GaugeIndex index(gauges);
  const auto got = nearest_per_sector(index, {0, 0});
  ASSERT_EQ(got.size(), 4U);
  EXPECT_EQ(got[0].index, 3U);
  EXPECT_EQ(got[1].index, 0U);
  EXPECT_EQ(got[2].index, 2U);
  EXPECT_EQ(got[3].index, 1U);
  EXPECT_EQ(sectors_used(index, {0, 0}, got, Sectors::quadrants), 4);
}

TEST(SectorSelection, RefusesOptionsOutOfRange) {
  const GaugeIndex index(std::vector<MetricPoint>{{0, 0}});
  EXPECT_THROW(nearest_per_sector(index, {0, 0}, {.per_sector = 0}), Error);
  EXPECT_THROW(nearest_per_sector(index, {0, 0}, {.max_distance_m = -1}), Error);
}

}  // namespace
}  // namespace gaugeloom
