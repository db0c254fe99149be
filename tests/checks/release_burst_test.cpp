#include "gaugeloom/checks/release_burst.hpp"

#include <gtest/gtest.h>

#include <algorithm>

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
  double wettest_mm = 0;  // of all others in that hour
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    double sum = 0;
    for (std::size_t i = last; i < last + 4; ++i)
      sum += gauge == 12 ? 0 : static_cast<double>(table.depth_mm(gauge, i));
    wettest_mm = std::max(wettest_mm, sum);
  }
  EXPECT_EQ(wettest_mm, 0);
  EXPECT_NE(found.front().reason.find("no neighbour had any rain"), std::string::npos)
      << found.front().reason;
}

TEST(ReleaseBurst, NeedsABlockBeforeIt) {
  RainTable table = support::healthy_network().table;
  table.set(12, support::day_step(60), 30);
  EXPECT_TRUE(
      support::findings_of(support::checked(table), 12, FindingKind::release_burst).empty());
}

// The wettest two days of a gauge of the healthy network but its first week, as [first, last).
StepAxis::Range wettest_days(const RainTable& table, std::size_t gauge) {
  StepAxis::Range best{0, 0};
  double most = 0;
  for (std::size_t day = 7; day + 2 < 90; ++day) {
    double sum = 0;
    for (std::size_t i = support::day_step(day); i < support::day_step(day + 2); ++i)
      sum += static_cast<double>(table.depth_mm(gauge, i));
    if (sum > most) best = {support::day_step(day), support::day_step(day + 2)};
    most = std::max(most, sum);
  }
  return best;
}

// That gauge silent over those days, and `times` their depth in the step after them.
RainTable with_total(std::size_t gauge, StepAxis::Range days, float times) {
  RainTable table = support::healthy_network().table;
  float total = 0;
  for (std::size_t i = days.first; i < days.last; ++i) {
    total += table.depth_mm(gauge, i);
    table.set_missing(gauge, i);
  }
  table.set(gauge, days.last, times * total);
  return table;
}

TEST(ReleaseBurst, OfAnOutageIsItsTotal) {
  const StepAxis::Range days = wettest_days(support::healthy_network().table, 12);
  const RainTable table = with_total(12, days, 1);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, 12, FindingKind::release_burst);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().tier, Tier::confirmed);
  EXPECT_EQ(found.front().from, table.axis().begin(days.first));
  EXPECT_EQ(found.front().to, table.axis().end(days.last));
  EXPECT_FLOAT_EQ(static_cast<float>(found.front().observed_mm), table.depth_mm(12, days.last));
  EXPECT_EQ(result.quality.at(12, days.last), Quality::poor);
  EXPECT_EQ(result.quality.at(12, days.last - 1), Quality::missing);
}

TEST(ReleaseBurst, OfAnOutageIsNoMoreThanTheNeighboursExplain) {
  const StepAxis::Range days = wettest_days(support::healthy_network().table, 12);
  const CheckResult result = support::checked(with_total(12, days, 5));
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::release_burst).empty());
}

}  // namespace
}  // namespace gaugeloom
