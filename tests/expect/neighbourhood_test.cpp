#include "gaugeloom/expect/neighbourhood.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

Network on_a_line(std::vector<double> x_m) {
  Network network;
  for (std::size_t i = 0; i < x_m.size(); ++i) {
    Gauge gauge;
    gauge.id = std::string(1, static_cast<char>('A' + i));
    gauge.position = {x_m[i], 0};
    network.gauges.push_back(gauge);
  }
  return network;
}

TEST(Neighbourhood, ListsTheNearestFirstAndBreaksTiesById) {
  const auto around = neighbourhoods(on_a_line({0, 5000, -5000, 2000}));
  ASSERT_EQ(around.of[0].size(), 3U);
  EXPECT_EQ(around.of[0][0].gauge, 3U);
  EXPECT_EQ(around.of[0][1].gauge, 1U);  // B and C are equally far
  EXPECT_EQ(around.of[0][2].gauge, 2U);
  EXPECT_GT(around.of[0][0].weight, around.of[0][1].weight);
}

TEST(Neighbourhood, LeavesOutWhatIsBeyondReach) {
  const auto around = neighbourhoods(on_a_line({0, 99000, 101000}));
  ASSERT_EQ(around.of[0].size(), 1U);
  EXPECT_DOUBLE_EQ(around.of[0][0].distance_m, 99000);
}

TEST(Neighbourhood, GivesAnIsolatedGaugeLessEvidence) {
  const auto around = neighbourhoods(on_a_line({0, 1000, 2000, 3000, 40000}));
  EXPECT_EQ(around.closeness[2], 1);
  EXPECT_LT(around.closeness[4], 0.5);
}

TEST(Neighbourhood, StandsTwoGaugesOnOneSpot) {
  const auto around = neighbourhoods(on_a_line({0, 0, 8000}));
  EXPECT_GT(around.of[0][0].weight, 0);
  EXPECT_LT(around.of[0][0].weight, 1e6);  // finite
}

}  // namespace
}  // namespace gaugeloom
