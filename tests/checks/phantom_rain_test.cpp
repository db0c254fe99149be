#include "gaugeloom/checks/phantom_rain.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/rain/test_tips.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

// The first step of a day on which the whole network is dry, and the days beside it too.
std::size_t dry_step(const RainTable& table) {
  for (std::size_t i = 96; i + 192 < table.step_count(); i += 96) {
    double sum = 0;
    for (std::size_t g = 0; g < table.gauge_count(); ++g)
      sum += window_sum(table, g, i - 96, i + 192);
    if (sum == 0) return i;
  }
  return table.step_count();
}

TEST(PhantomRain, CallsTipsOnADryDay) {
  RainTable table = support::healthy_network().table;
  const std::size_t first = dry_step(table);
  ASSERT_LT(first, table.step_count());
  for (std::size_t i = first; i < first + 4; ++i) table.set(12, i, 3);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, 12, FindingKind::phantom_rain);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_DOUBLE_EQ(found.front().observed_mm, 12);
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

TEST(PhantomRain, KnowsTestPoursOfVisits) {
  const support::SyntheticRain& healthy = support::healthy_network();
  RainRecord record;
  record.depths = healthy.table;
  const std::size_t first = dry_step(record.depths);
  ASSERT_LT(first, record.depths.step_count());
  for (std::size_t i = first; i < first + 4; ++i) record.depths.set(12, i, 3);
  const StepAxis& axis = record.depths.axis();
  const SiteVisit pour{
      12, {axis.begin(first), axis.end(first + 3)}, VisitAction::calibrated, 400, ""};
  EXPECT_EQ(mask_test_tips(record, std::vector{pour}).steps, 4U);
  const CheckResult result = check_network(healthy.network, record);
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::phantom_rain).empty());
  EXPECT_EQ(result.quality.at(12, first), Quality::missing);
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

// A shower falls on all, and one gauge goes on for hours with what its outlet passes.
TEST(PhantomRain, LeavesADripToPartlyBlocked) {
  RainTable table = support::healthy_network().table;
  const std::size_t first = dry_step(table);
  ASSERT_LT(first, table.step_count());
  for (std::size_t g = 0; g < table.gauge_count(); ++g)
    for (std::size_t i = first; i < first + 4; ++i) table.set(g, i, 2);
  for (std::size_t i = first; i < first + 40; ++i) table.set(12, i, i % 2 == 0 ? 0.2F : 0.4F);
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::phantom_rain).empty());
  const auto found = support::findings_of(result, 12, FindingKind::partly_blocked);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

TEST(PhantomRain, LeavesATipOrTwoAlone) {
  RainTable table = support::healthy_network().table;
  const std::size_t first = dry_step(table);
  ASSERT_LT(first, table.step_count());
  table.set(12, first, 0.4F);
  EXPECT_TRUE(support::findings_of(support::checked(table), 12, FindingKind::phantom_rain).empty());
}

}  // namespace
}  // namespace gaugeloom
