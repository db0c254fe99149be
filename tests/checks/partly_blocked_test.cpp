#include "gaugeloom/checks/partly_blocked.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

TEST(PartlyBlocked, CallsATrickleAndLeavesTheNeighboursAlone) {
  RainTable table = support::healthy_network().table;
  double water = 0;
  for (std::size_t i = support::day_step(30); i < support::day_step(60); ++i) {
    water += 0.12 * table.depth_mm(kGauge, i);  // the rest spills
    const bool tip = water >= 0.2;
    if (tip) water -= 0.2;
    table.set(kGauge, i, tip ? 0.2F : 0.0F);
  }
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::partly_blocked);
  ASSERT_EQ(found.size(), 1U);
  const Instant begin = table.axis().begin(support::day_step(30));
  EXPECT_LT(found.front().from, begin + std::chrono::hours(24));
  EXPECT_LT(found.front().called, begin + std::chrono::hours(14 * 24));
  EXPECT_GT(found.front().observed_mm, 0);
  EXPECT_LT(found.front().observed_mm, 0.3 * found.front().expected_mm);
  EXPECT_EQ(support::findings_elsewhere(result, kGauge), 0U);
}

TEST(PartlyBlocked, CallsADripThatGoesOnAfterTheRain) {
  RainTable table = support::healthy_network().table;
  double store = 0;
  double water = 0;
  for (std::size_t i = support::day_step(20); i < support::day_step(80); ++i) {
    store += table.depth_mm(kGauge, i);  // nothing is lost: it runs out at 0.4 mm/h
    const double out = std::min(store, 0.1);
    store -= out;
    water += out;
    const bool tip = water >= 0.2;
    if (tip) water -= 0.2;
    table.set(kGauge, i, tip ? 0.2F : 0.0F);
  }
  const auto found =
      support::findings_of(support::checked(table), kGauge, FindingKind::partly_blocked);
  ASSERT_FALSE(found.empty());
  EXPECT_NE(found.front().reason.find("dripping"), std::string::npos) << found.front().reason;
}

TEST(PartlyBlocked, CallsACapThatLosesNothing) {
  // 1 mm/h passes; the rest waits in the funnel and comes later.
  RainTable table = support::healthy_network().table;
  support::pass_outlet(table, kGauge, 1);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::partly_blocked);
  ASSERT_FALSE(found.empty());
  EXPECT_LT(found.front().called, table.axis().begin(support::day_step(50)));
  EXPECT_EQ(support::findings_elsewhere(result, kGauge), 0U);
}

TEST(PartlyBlocked, LeavesALateClockToItsOwnCheck) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = table.step_count() - 1; i > support::day_step(10); --i)
    table.set(kGauge, i, table.depth_mm(kGauge, i - 4));
  EXPECT_TRUE(
      support::findings_of(support::checked(table), kGauge, FindingKind::partly_blocked).empty());
}

TEST(PartlyBlocked, LeavesADrySpotOfTwoGaugesAlone) {
  // Both read little, at the same hours, in the same storms.
  RainTable table = support::healthy_network().table;
  const auto& positions = support::healthy_network().positions;
  std::size_t near = kGauge == 0 ? 1 : 0;
  for (std::size_t g = 0; g < positions.size(); ++g) {
    if (g != kGauge && distance_m(positions[g], positions[kGauge]) <
                           distance_m(positions[near], positions[kGauge])) {
      near = g;
    }
  }
  for (std::size_t i = support::day_step(30); i < support::day_step(60); ++i) {
    const float little = table.depth_mm(kGauge, i) >= 0.4F ? 0.2F : 0.0F;
    table.set(kGauge, i, little);
    table.set(near, i, little);
  }
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::partly_blocked).empty());
  EXPECT_TRUE(support::findings_of(result, near, FindingKind::partly_blocked).empty());
}

}  // namespace
}  // namespace gaugeloom
