#include "gaugeloom/checks/stuck.hpp"

#include <gtest/gtest.h>

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
  // three tips a step, and no rest
  support::pass_outlet(table, kGauge, 2.4);
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::stuck).empty());
  EXPECT_FALSE(support::findings_of(result, kGauge, FindingKind::partly_blocked).empty());
}

}  // namespace
}  // namespace gaugeloom
