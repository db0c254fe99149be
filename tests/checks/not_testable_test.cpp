#include "gaugeloom/checks/not_testable.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

TEST(NotTestable, IsSaidOfEveryGaugeOfAPair) {
  support::SyntheticRain rain = support::healthy_network();
  Network two;
  two.gauges.assign(rain.network.gauges.begin(), rain.network.gauges.begin() + 2);
  RainTable table(rain.table.axis(), 2);
  for (std::size_t i = 0; i < table.step_count(); ++i) table.set(0, i, 0);
  for (std::size_t i = 0; i < table.step_count(); ++i) table.set(1, i, 1);
  RainRecord record;
  record.depths = table;
  const CheckResult result = check_network(two, record);
  EXPECT_EQ(support::findings_of(result, 0, FindingKind::not_testable).size(), 1U);
  EXPECT_EQ(support::findings_of(result, 1, FindingKind::not_testable).size(), 1U);
  EXPECT_EQ(result.quality.at(0, 100), Quality::unchecked);  // never good
}

TEST(NotTestable, IsSaidWhileTheNeighboursAreOut) {
  RainTable table = support::healthy_network().table;
  for (std::size_t g = 0; g < table.gauge_count(); ++g) {
    if (g == 12) continue;
    for (std::size_t i = support::day_step(30); i < support::day_step(45); ++i) {
      table.set_missing(g, i);
    }
  }
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, 12, FindingKind::not_testable);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().from, table.axis().begin(support::day_step(30)));
  EXPECT_EQ(found.front().to, table.axis().begin(support::day_step(45)));
}

}  // namespace
}  // namespace gaugeloom
