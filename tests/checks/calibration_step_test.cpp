#include "gaugeloom/checks/calibration_step.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

Instant day(std::size_t index) {
  return support::healthy_year().table.axis().begin(0) + std::chrono::hours(24 * index);
}

bool is_gain(const Finding& f) {
  return f.kind == FindingKind::calibration_step || f.kind == FindingKind::calibration_drift ||
         f.kind == FindingKind::reads_low || f.kind == FindingKind::reads_high;
}

TEST(CalibrationStep, FindsATwentyPercentStepWithinAYear) {
  // A fall by a fifth is where reads_low begins: either may have it.
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.2, 150));
  EXPECT_TRUE(std::any_of(result.findings.begin(), result.findings.end(), [](const Finding& f) {
    return f.gauge == kGauge && is_gain(f) && f.called > day(150) && f.called < day(150 + 183);
  }));
}

TEST(CalibrationStep, TellsAStepWithWhenWhyAndWhatToDo) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.17, 150));
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  const Finding& f = found.front();
  EXPECT_LT(std::chrono::abs(f.from - day(150)), std::chrono::hours(24 * 21));
  EXPECT_GT(f.called, day(150));
  EXPECT_LT(f.called, day(150 + 183));
  EXPECT_FALSE(f.to.has_value());
  EXPECT_GE(f.neighbours.size(), 3U);
  EXPECT_NE(f.reason.find("Multiply by 1."), std::string::npos) << f.reason;
  for (const Finding& other : result.findings) {
    EXPECT_TRUE(other.gauge == kGauge || !is_gain(other)) << other.reason;
  }
}

TEST(CalibrationStep, TakesASiteThatHasAlwaysReadLowForASite) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.2, 0));
  for (const Finding& f : result.findings) EXPECT_FALSE(is_gain(f)) << f.reason;
  EXPECT_NEAR(result.gauges[kGauge].site_ratio /
                  support::checked_year(support::healthy_year().table).gauges[kGauge].site_ratio,
              0.8, 0.04);
}

TEST(CalibrationStep, CallsNothingOnSoundGauges) {
  for (const Finding& f : support::checked_year(support::healthy_year().table).findings)
    EXPECT_FALSE(is_gain(f)) << f.reason;
}

TEST(CalibrationStep, DoesNotClaimTenPercentWithinThreeMonths) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.1, 275));
  for (const Finding& f : result.findings) EXPECT_FALSE(is_gain(f)) << f.reason;
}

TEST(CalibrationStep, DoesNotBlameANeighbourOfTheGauge) {
  RainTable table = support::changed_year(7, 0.2, 180);
  const CheckResult result = support::checked_year(table);
  EXPECT_FALSE(support::findings_of(result, 7, FindingKind::calibration_step).empty());
  for (const Finding& f : result.findings) {
    EXPECT_TRUE(f.gauge == 7 || !is_gain(f)) << f.reason;
  }
}

TEST(CalibrationStep, DoesNotCountExcludedDays) {
  // Blocked for six weeks: that is a block, and no change of calibration.
  RainTable table = support::healthy_year().table;
  for (std::size_t i = 200 * 24; i < 242 * 24; ++i) table.set(kGauge, i, 0);
  const CheckResult result = support::checked_year(table);
  EXPECT_FALSE(support::findings_of(result, kGauge, FindingKind::blocked).empty());
  for (const Finding& f : result.findings) EXPECT_FALSE(is_gain(f)) << f.reason;
}

TEST(CalibrationStep, CallsThePartBeforeAGaugeWasPutRight) {
  RainTable right = support::healthy_year().table;
  const RainTable low = support::changed_year(kGauge, -0.17, 0);
  for (std::size_t i = 0; i < 150 * 24; ++i) right.set(kGauge, i, low.depth_mm(kGauge, i));
  const auto found =
      support::findings_of(support::checked_year(right), kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  ASSERT_TRUE(found.front().to.has_value());
  EXPECT_EQ(found.front().from, day(0));
  EXPECT_LT(std::chrono::abs(*found.front().to - day(150)), std::chrono::hours(24 * 21));
}

TEST(CalibrationStep, KeepsTheDepthsEvenWhenConfirmed) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.17, 150));
  ASSERT_EQ(support::findings_of(result, kGauge, FindingKind::calibration_step).front().tier,
            Tier::confirmed);
  EXPECT_EQ(result.quality.at(kGauge, 360 * 24), Quality::suspect);
}

TEST(CalibrationStep, SaysTheSmallestStepThatWouldHaveBeenNoticed) {
  const CheckResult result = support::checked_year(support::healthy_year().table);
  for (const GaugeSummary& g : result.gauges) {
    EXPECT_GT(g.smallest_step_percent, 4.8);
    EXPECT_LT(g.smallest_step_percent, 30);
  }
  const CheckResult& short_record = support::checked_healthy();  // 90 days
  EXPECT_GT(short_record.gauges[0].smallest_step_percent, result.gauges[0].smallest_step_percent);
}

}  // namespace
}  // namespace gaugeloom
