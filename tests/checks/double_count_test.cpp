#include "gaugeloom/checks/double_count.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

TEST(DoubleCount, CallsAGaugeThatCountsEveryTipTwice) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(40); i < support::day_step(80); ++i)
    table.set(kGauge, i, 2 * table.depth_mm(kGauge, i));
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::double_count);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_LT(found.front().called, table.axis().begin(support::day_step(52)));
  EXPECT_LT(found.front().from, table.axis().begin(support::day_step(46)));
  ASSERT_TRUE(found.front().to.has_value());
  EXPECT_GT(*found.front().to, table.axis().begin(support::day_step(70)));
  EXPECT_EQ(found.front().tier, Tier::confirmed);
  EXPECT_EQ(support::findings_elsewhere(result, kGauge), 0U);
}

TEST(DoubleCount, CallsAGaugeThatHasAlwaysDoneSo) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = 0; i < table.step_count(); ++i)
    table.set(kGauge, i, 2 * table.depth_mm(kGauge, i));
  const auto found =
      support::findings_of(support::checked(table), kGauge, FindingKind::double_count);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_FALSE(found.front().to.has_value());
}

TEST(DoubleCount, LeavesALargerBucketThatReadsRightAlone) {
  // A bucket of 0.4 mm in a list that says 0.2.
  RainTable table = support::healthy_network().table;
  double water = 0;
  for (std::size_t i = 0; i < table.step_count(); ++i) {
    water += table.depth_mm(kGauge, i);
    const float depth = static_cast<float>(0.4 * std::floor(water / 0.4 + 1e-6));
    water -= depth;
    table.set(kGauge, i, depth);
  }
  EXPECT_TRUE(
      support::findings_of(support::checked(table), kGauge, FindingKind::double_count).empty());
}

TEST(DoubleCount, LeavesAHighReadingWithOddStepsAlone) {
  RainTable table = support::healthy_network().table;
  const auto bucket = static_cast<float>(support::healthy_network().network.gauges[0].bucket_mm);
  for (std::size_t i = support::day_step(40); i < table.step_count(); ++i) {
    const float tips = std::round(2.1F * table.depth_mm(kGauge, i) / bucket);
    table.set(kGauge, i, bucket * (i % 2 == 0 ? tips : std::max(0.0F, tips - 1)));
  }
  EXPECT_TRUE(
      support::findings_of(support::checked(table), kGauge, FindingKind::double_count).empty());
}

}  // namespace
}  // namespace gaugeloom
