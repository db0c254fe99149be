#include "gaugeloom/checks/calibration_drift.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

TEST(CalibrationDrift, TellsADriftAsADrift) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.35, 60, 305));
  const auto found = support::findings_of(result, kGauge, FindingKind::calibration_drift);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_FALSE(found.front().to.has_value());
  EXPECT_NE(found.front().reason.find("little by little"), std::string::npos);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::calibration_step).empty());
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::reads_low).empty());
  EXPECT_GT(found.front().called, found.front().from);
}

TEST(CalibrationDrift, LeavesAStepToTheOther) {
  const CheckResult result = support::checked_year(support::changed_year(kGauge, -0.2, 150));
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::calibration_drift).empty());
}

TEST(CalibrationDrift, CallsNothingOnSoundGauges) {
  for (const Finding& f : support::checked_year(support::healthy_year().table).findings)
    EXPECT_NE(f.kind, FindingKind::calibration_drift) << f.reason;
}

}  // namespace
}  // namespace gaugeloom
