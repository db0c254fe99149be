#include "gaugeloom/checks/reads_high.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(ReadsHigh, CallsAGaugeThatReadsAboutTwiceAndNobodyElse) {
  const auto& truth = support::healthy_network().true_mm;
  RainTable table = support::healthy_network().table;
  double water = 0;  // whole tips, odd numbers too: not every tip counted twice
  for (std::size_t i = support::day_step(45); i < support::day_step(90); ++i) {
    water += 2 * truth[12 * table.step_count() + i];
    const auto depth = static_cast<float>(0.2 * std::floor(water / 0.2 + 1e-6));
    water -= depth;
    table.set(12, i, depth);
  }
  const CheckResult result = support::checked(table);
  ASSERT_EQ(support::findings_of(result, 12, FindingKind::reads_high).size(), 1U);
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::reads_low).empty());
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

}  // namespace
}  // namespace gaugeloom
