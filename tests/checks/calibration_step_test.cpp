#include "gaugeloom/checks/calibration_step.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

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
              0.8, 0.05);  // shrunk to 1 by 16 days
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

// Depths of kGauge in the two years times a factor that may depend on the step.
template <typename Factor>
CheckResult checked_years(const Factor& factor) {
  RainRecord record;
  record.depths = support::healthy_years().table;
  std::vector<double> caught;
  for (std::size_t i = 0; i < record.depths.step_count(); ++i)
    caught.push_back(factor(i / 24) * record.depths.depth_mm(kGauge, i));
  const auto counted = support::tipped_mm(caught, 0.2);
  for (std::size_t i = 0; i < counted.size(); ++i) record.depths.set(kGauge, i, counted[i]);
  return check_network(support::healthy_years().network, record);
}

TEST(CalibrationStep, KeepsTheDepthsEvenWhenConfirmed) {
  const CheckResult result = checked_years([](std::size_t d) { return d < 400 ? 1 : 0.83; });
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  ASSERT_EQ(found.front().tier, Tier::confirmed);
  EXPECT_EQ(result.quality.at(kGauge, 700 * 24), Quality::suspect);
}

TEST(CalibrationStep, IsNotSureOfASiteBeforeItKnowsTheYear) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.17, 150));
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().tier, Tier::provisional);
  EXPECT_NE(found.front().innocent_explanation.find("season"), std::string::npos);
}

TEST(CalibrationStep, TakesASiteThatDiffersByTheSeasonForASite) {
  const CheckResult result = checked_years(
      [](std::size_t d) { return d % 365 >= 40 && d % 365 < 200 ? 0.83 : 1; });  // 10 Nov to 18 Apr
  for (const Finding& f : result.findings) EXPECT_FALSE(is_gain(f)) << f.reason;
}

TEST(CalibrationStep, TellsALossThatGrowsWithTheRain) {
  RainRecord record;
  record.depths = support::healthy_years().table;
  std::vector<double> caught;
  for (std::size_t i = 0; i < record.depths.step_count(); ++i) {
    const double depth = record.depths.depth_mm(kGauge, i);
    const double lost = i < 350 * 24 ? 0 : 0.5 * std::min(1.0, depth / 4);  // of a wet hour
    caught.push_back((1 - lost) * depth);
  }
  const auto counted = support::tipped_mm(caught, 0.2);
  for (std::size_t i = 0; i < counted.size(); ++i) record.depths.set(kGauge, i, counted[i]);
  const CheckResult result = check_network(support::healthy_years().network, record);
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_NE(found.front().reason.find("loses water while it tips"), std::string::npos)
      << found.front().reason;
}

// What a check says of gains at every tenth gauge (three of them), whose depths are multiplied by
// `more(mm in an hour)` from day 350 on.
template <typename More>
std::vector<Finding> gains_in_heavy_rain(More more) {
  RainRecord record;
  record.depths = support::healthy_years().table;
  for (std::size_t gauge = 0; gauge < record.depths.gauge_count(); gauge += 10)
    for (std::size_t i = 350 * 24; i < record.depths.step_count(); ++i) {
      const double depth = record.depths.depth_mm(gauge, i);
      record.depths.set(gauge, i, static_cast<float>(depth * more(depth)));
    }
  std::vector<Finding> gains;
  for (const Finding& f : check_network(support::healthy_years().network, record).findings)
    if (f.gauge % 10 == 0 && is_gain(f)) gains.push_back(f);
  return gains;
}

// A table that makes a half more of 4 mm/h, applied once more than it should be.
TEST(CalibrationStep, TellsATableAppliedTwiceAndHowMuchTurningWouldExplain) {
  const auto gains = gains_in_heavy_rain([](double mm) { return 1 + 0.5 * std::min(1.0, mm / 4); });
  ASSERT_EQ(gains.size(), 3U);
  EXPECT_TRUE(std::ranges::any_of(gains, [](const Finding& f) {
    return f.reason.find(
               "corrected twice. A second correction of what its bucket loses in "
               "turning would make ") != std::string::npos;
  }));
}

// What turning takes from 0.2 mm, put back twice: T / (T - 0.45 s) with T = 720 s / (mm/h), 1.3 %
// at 20 mm/h and 0.2 % of all rain here. That is far below what neighbours can tell.
TEST(CalibrationStep, CannotTellALossInTurningThatWasPutBackTwice) {
  const auto gains = gains_in_heavy_rain([](double mm) { return 1 / (1 - mm * 0.45 / 720); });
  EXPECT_TRUE(gains.empty()) << gains.front().reason;
}

TEST(CalibrationStep, SaysNothingOfIntensityWhereTheLossIsTheSame) {
  const CheckResult result = checked_years([](std::size_t d) { return d < 400 ? 1 : 0.83; });
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().reason.find("heavier the rain"), std::string::npos);
}

// With what was learned frozen, the record cut on the day of the call tells the change, and the
// record cut the day before does not.
TEST(CalibrationStep, IsCalledOnTheFirstDayThatTellsIt) {
  const RainTable table = support::changed_year(kGauge, -0.17, 150);
  const CheckResult whole = support::checked_year(table);
  const auto found = support::findings_of(whole, kGauge, FindingKind::calibration_step);
  ASSERT_EQ(found.size(), 1U);
  const auto told_by = [&](Instant end) {
    const auto steps = static_cast<std::size_t>((end - day(0)) / std::chrono::hours(1));
    RainRecord cut;
    cut.depths = slice(table, 0, steps);
    const auto result = check_with_frozen_nulls(support::healthy_year().network, cut, whole.nulls);
    return support::findings_of(result, kGauge, FindingKind::calibration_step);
  };
  const auto told = told_by(found.front().called);
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told.front().called, found.front().called);
  EXPECT_TRUE(told_by(found.front().called - std::chrono::hours(24)).empty());
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
