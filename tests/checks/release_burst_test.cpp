#include "gaugeloom/checks/release_burst.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(ReleaseBurst, FollowsABlock) {
  RainTable table = support::healthy_network().table;
  const std::size_t last = support::day_step(60);
  for (std::size_t i = support::day_step(30); i < last; ++i) table.set(12, i, 0);
  for (std::size_t i = last; i < last + 3; ++i) table.set(12, i, 10);  // 30 mm of some 70 lost
  const CheckResult result = support::checked(table);
  ASSERT_EQ(support::findings_of(result, 12, FindingKind::blocked).size(), 1U);
  const auto found = support::findings_of(result, 12, FindingKind::release_burst);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().from, table.axis().begin(last));
  EXPECT_DOUBLE_EQ(found.front().observed_mm, 30);
}

TEST(ReleaseBurst, NeedsABlockBeforeIt) {
  RainTable table = support::healthy_network().table;
  table.set(12, support::day_step(60), 30);
  EXPECT_TRUE(
      support::findings_of(support::checked(table), 12, FindingKind::release_burst).empty());
}

}  // namespace
}  // namespace gaugeloom
