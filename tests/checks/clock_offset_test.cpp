#include "gaugeloom/checks/clock_offset.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(ClockOffset, CallsAClockAnHourLate) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(90) - 1; i >= support::day_step(40); --i) {
    table.set(12, i, table.depth_mm(12, i - 4));
  }
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, 12, FindingKind::clock_offset);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_NE(found.front().reason.find("60 minutes later"), std::string::npos)
      << found.front().reason;
  EXPECT_GE(found.front().from, table.axis().begin(support::day_step(39)));
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

TEST(ClockOffset, LeavesStepsOfADayAlone) {
  RainRecord record;
  record.depths = sums(support::healthy_network().table, 96);
  const CheckResult result = check_network(support::healthy_network().network, record);
  for (const Finding& f : result.findings) EXPECT_NE(f.kind, FindingKind::clock_offset);
}

}  // namespace
}  // namespace gaugeloom
