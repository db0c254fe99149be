#include "gaugeloom/checks/reads_high.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(ReadsHigh, CallsADoubledGaugeAndNobodyElse) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(45); i < support::day_step(90); ++i) {
    table.set(12, i, 2 * table.depth_mm(12, i));
  }
  const CheckResult result = support::checked(table);
  ASSERT_EQ(support::findings_of(result, 12, FindingKind::reads_high).size(), 1U);
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::reads_low).empty());
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

}  // namespace
}  // namespace gaugeloom
