#include "gaugeloom/checks/reads_low.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/expect/funnel_store.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

RainTable scaled(std::size_t first_day, float factor) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(first_day); i < support::day_step(90); ++i) {
    table.set(12, i, factor * table.depth_mm(12, i));
  }
  return table;
}

TEST(ReadsLow, CallsAChangeOfRatio) {
  const CheckResult result = support::checked(scaled(45, 0.5F));
  const auto found = support::findings_of(result, 12, FindingKind::reads_low);
  ASSERT_EQ(found.size(), 1U);
  // The change stands between two wet days, so its date is known to some days only.
  const Instant change = result.findings.front().from;
  const Instant truth = support::healthy_network().table.axis().begin(support::day_step(45));
  EXPECT_LT(std::chrono::abs(change - truth), std::chrono::hours(7 * 24));
  // The first heavy loss is told as reads_low; that it lasts may be left to the step.
  const auto steps = support::findings_of(result, 12, FindingKind::calibration_step);
  EXPECT_TRUE(!found.front().to || (!steps.empty() && !steps.front().to));
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

TEST(ReadsLow, CallsAFallToAThirdWithinWeeks) {
  const CheckResult result = support::checked(scaled(45, 0.35F));
  const auto found = support::findings_of(result, 12, FindingKind::reads_low);
  ASSERT_EQ(found.size(), 1U);
  const Instant truth = support::healthy_network().table.axis().begin(support::day_step(45));
  EXPECT_LT(found.front().called - truth, std::chrono::hours(21 * 24));
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::partly_blocked).empty());
  EXPECT_EQ(support::findings_elsewhere(result, 12), 0U);
}

TEST(ReadsLow, LeavesACappedGaugeToPartlyBlocked) {
  RainTable table = support::healthy_network().table;
  FunnelStore funnel({.cap_mm_h = 0.35, .drain_h = 0.5, .capacity_mm = 3});
  for (std::size_t i = support::day_step(45); i < support::day_step(90); ++i)
    table.set(12, i, static_cast<float>(funnel.pass(table.depth_mm(12, i), 0.25)));
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::reads_low).empty());
  EXPECT_FALSE(support::findings_of(result, 12, FindingKind::partly_blocked).empty());
}

TEST(ReadsLow, TakesASiteThatHasAlwaysBeenDryForASite) {
  const CheckResult result = support::checked(scaled(0, 0.65F));
  EXPECT_TRUE(support::findings_of(result, 12, FindingKind::reads_low).empty());
  EXPECT_LT(result.gauges[12].site_ratio, 0.9);
}

TEST(ReadsLow, CallsAThirdOfTheRainOverASeason) {
  const CheckResult result = support::checked(scaled(0, 0.3F));
  const auto found = support::findings_of(result, 12, FindingKind::reads_low);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().tier, Tier::provisional);
  EXPECT_NE(found.front().innocent_explanation.find("sheltered"), std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
