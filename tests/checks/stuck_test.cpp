#include "gaugeloom/checks/stuck.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/expect/funnel_store.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(Stuck, CallsALongRunOfOneValue) {
  constexpr std::size_t kGauge = 12;
  RainTable table = support::healthy_network().table;
  for (std::size_t i = 5000; i < 5040; ++i) table.set(kGauge, i, 0.6F);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::stuck);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().from, table.axis().begin(5000));
  EXPECT_EQ(found.front().to, table.axis().end(5039));
  EXPECT_LT(found.front().called, table.axis().end(5039));
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::phantom_rain).empty());
}

TEST(Stuck, LeavesZerosAndDrizzleAlone) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = 5000; i < 5008; ++i) table.set(3, i, 0.2F);
  EXPECT_TRUE(support::findings_of(support::checked(table), 3, FindingKind::stuck).empty());
}

TEST(Stuck, LeavesAnOutletAtItsLimitToPartlyBlocked) {
  constexpr std::size_t kGauge = 12;
  RainTable table = support::healthy_network().table;
  FunnelStore funnel({.cap_mm_h = 2.4, .drain_h = 0.1});  // three tips a step, and no rest
  double water = 0;
  for (std::size_t i = support::day_step(20); i < support::day_step(85); ++i) {
    water += funnel.pass(table.depth_mm(kGauge, i), 0.25);
    const double tips = std::floor(water / 0.2 + 1e-6);
    water -= 0.2 * tips;
    table.set(kGauge, i, static_cast<float>(0.2 * tips));
  }
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::stuck).empty());
  EXPECT_FALSE(support::findings_of(result, kGauge, FindingKind::partly_blocked).empty());
}

}  // namespace
}  // namespace gaugeloom
