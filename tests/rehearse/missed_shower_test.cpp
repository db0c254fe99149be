#include "gaugeloom/rehearse/missed_shower.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

std::vector<float> series(std::initializer_list<std::pair<std::size_t, float>> wet) {
  std::vector<float> depth(48, 0);
  for (const auto& [at, mm] : wet) depth[at] = mm;
  return depth;
}

TEST(MissedShower, IsTakenFromTheLoneShowersOfTheRightSize) {
  const auto depth = series({{5, 3.0F}, {6, 1.0F}, {15, 0.4F}, {25, 20.0F}, {40, 2.0F}});
  const auto showers = lone_showers(depth, 1.0);
  ASSERT_EQ(showers.size(), 2U);
  EXPECT_EQ(showers[0].first, 5U);
  EXPECT_EQ(showers[0].last, 7U);
  EXPECT_EQ(showers[1].first, 40U);
}

TEST(MissedShower, IsNotTakenBesideMissingSteps) {
  auto depth = series({{5, 3.0F}, {20, 3.0F}, {46, 3.0F}});
  depth[6] = kNan;
  depth[19] = kNan;
  EXPECT_TRUE(lone_showers(depth, 1.0).empty());
}

TEST(MissedShower, IsNoLongRain) {
  std::vector<float> depth(48, 0);
  for (std::size_t i = 10; i < 20; ++i) depth[i] = 0.6F;
  EXPECT_TRUE(lone_showers(depth, 1.0).empty());
}

TEST(MissedShower, LeavesTheGaugeDry) {
  auto depth = series({{5, 3.0F}, {40, 2.0F}});
  miss_shower(depth, {5, 6});
  EXPECT_EQ(depth, series({{40, 2.0F}}));
}

}  // namespace
}  // namespace gaugeloom
