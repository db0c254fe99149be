#include "gaugeloom/expect/expected_depths.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

struct Case {
  const Network& network = support::healthy_network().network;
  RainTable table = slice(sums(support::healthy_network().table, 4), 0, 500);
  Neighbourhoods around = neighbourhoods(network);
  SiteRatios sites{network.size()};
  Exclusions none{network.size(), 500};
};

void expect_equal(float a, float b) {
  EXPECT_TRUE(a == b || (std::isnan(a) && std::isnan(b))) << a << " and " << b;
}

TEST(ExpectedDepths, DoNotDependOnTheGaugeItself) {
  Case c;
  const auto before = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (std::size_t i = 0; i < 500; ++i) c.table.set(7, i, 99);
  const auto after = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (std::size_t i = 0; i < 500; ++i) expect_equal(before.depth_at(7, i), after.depth_at(7, i));
}

TEST(ExpectedDepths, DoNotFollowOneAbsurdNeighbour) {
  Case c;
  const std::size_t near = c.around.of[7][0].gauge;
  for (std::size_t i = 0; i < 500; ++i) c.table.set(near, i, 9999);
  const auto depths = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (std::size_t i = 0; i < 500; ++i) {
    double second = 0;
    for (const NearbyGauge& n : c.around.of[7]) {
      const double depth = c.table.depth_mm(n.gauge, i);
      if (n.gauge != near && depth > second) second = depth;
    }
    EXPECT_LE(depths.depth_at(7, i), second + 1e-4);  // float rounding
  }
}

TEST(ExpectedDepths, KeepAConstantField) {
  Case c;
  for (std::size_t g = 0; g < c.network.size(); ++g) {
    for (std::size_t i = 0; i < 500; ++i) c.table.set(g, i, 2.5F);
  }
  const auto depths = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (const float depth : depths.depth_mm) EXPECT_NEAR(depth, 2.5, 1e-5);  // float rounding
  for (const float wet : depths.wet_share) EXPECT_NEAR(wet, 1, 1e-6);
}

TEST(ExpectedDepths, DoNotDependOnTheNumberOfThreads) {
  Case c;
  const auto one = expected_depths(c.table, c.around, c.sites, c.none, 1);
  const auto five = expected_depths(c.table, c.around, c.sites, c.none, 5);
  for (std::size_t i = 0; i < one.depth_mm.size(); ++i) {
    expect_equal(one.depth_mm[i], five.depth_mm[i]);
  }
}

TEST(ExpectedDepths, LeaveOutWhoIsExcludedButNeverMoreThanThreeTenths) {
  Case c;
  const std::size_t near = c.around.of[7][0].gauge;
  Exclusions one(c.network.size(), 500);
  one.set(near, 0, 500);
  const auto without = expected_depths(c.table, c.around, c.sites, one, 1);
  for (std::size_t i = 0; i < 500; ++i) c.table.set_missing(near, i);
  const auto missing = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (std::size_t i = 0; i < 500; ++i) {
    expect_equal(without.depth_at(7, i), missing.depth_at(7, i));
  }
  Exclusions all(c.network.size(), 500);
  for (std::size_t g = 0; g < c.network.size(); ++g) all.set(g, 0, 500);
  EXPECT_FALSE(std::isnan(expected_depths(c.table, c.around, c.sites, all, 1).depth_at(7, 10)));
}

TEST(ExpectedDepths, NeedThreeLiveNeighbours) {
  Case c;
  for (std::size_t k = 2; k < c.around.of[7].size(); ++k) {
    for (std::size_t i = 0; i < 500; ++i) c.table.set_missing(c.around.of[7][k].gauge, i);
  }
  const auto depths = expected_depths(c.table, c.around, c.sites, c.none, 1);
  for (std::size_t i = 0; i < 500; ++i) EXPECT_TRUE(std::isnan(depths.depth_at(7, i)));
}

}  // namespace
}  // namespace gaugeloom
