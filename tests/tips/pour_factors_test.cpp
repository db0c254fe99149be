#include "gaugeloom/tips/pour_factors.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/tips/correct_gauge.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }

GaugeFacts bucket(double mm = 0.2) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  facts.rows.back().bucket_mm = mm;
  return facts;
}

// 20 mm through a bucket listed as 0.2 mm, in tips 36 s apart: 20 mm/h indicated.
PourCheck pour(double end_s, int tips, double poured_mm = 20) {
  PourCheck check;
  check.pour.over = {at_s(end_s - 3600), at_s(end_s)};
  check.tips = static_cast<std::size_t>(tips);
  check.poured_mm = poured_mm;
  check.bucket_mm = 0.2;
  check.true_mm = poured_mm / tips;
  check.low_mm = poured_mm / (tips + 0.683772);
  check.high_mm = poured_mm / (tips - 0.683772);
  check.factor = check.true_mm / 0.2;
  check.intensity_mm_h = 20;
  return check;
}

std::vector<BucketFactor> factors(std::vector<PourCheck> checks, IntensityCorrection correction,
                                  const GaugeFacts& facts = bucket()) {
  return pour_factors(checks, facts, correction);
}

// By hand: 20 mm / 94 = 0.212766 mm a tip, 1.063830 of the listed bucket.
TEST(PourFactors, AreTrueOverListedWhereNothingIsCorrected) {
  const auto all = factors({pour(7200, 94)}, IntensityCorrection::none);
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].from, at_s(7200));
  EXPECT_NEAR(all[0].factor, 1.063830, 1e-6);
}

// By hand: every 36 s 0.45 s of inflow are lost, 36 / 35.55 = 1.012658; 1.063830 / 1.012658 =
// 1.050532 is left. A table that says 1.04 at 20 mm/h leaves 1.063830 / 1.04 = 1.022913.
TEST(PourFactors, LeaveWhatTheIntensityExplainsToItsCorrection) {
  EXPECT_NEAR(factors({pour(7200, 94)}, IntensityCorrection::tip_loss)[0].factor, 1.050532, 1e-6);
  GaugeFacts facts = bucket();
  facts.table = CalibrationTable({{0, 1.0}, {40, 1.08}});
  EXPECT_NEAR(factors({pour(7200, 94)}, IntensityCorrection::table, facts)[0].factor, 1.022913,
              1e-6);
}

// 99 tips leave 0.98987 to 1.00359 of what they should be, once 1.012658 is lost in turning: as
// listed. 100 tips without loss are just 0.2 mm.
TEST(PourFactors, AreOneWhereTheBandHoldsTheListedBucket) {
  EXPECT_TRUE(factors({pour(7200, 99)}, IntensityCorrection::tip_loss).empty());
  EXPECT_TRUE(factors({pour(7200, 100)}, IntensityCorrection::none).empty());
}

TEST(PourFactors, HoldUntilTheNextPourThatTells) {
  const auto all =
      factors({pour(90000, 100), pour(7200, 94), pour(50000, 19, 4.5), pour(99000, 94)},
              IntensityCorrection::none);
  ASSERT_EQ(all.size(), 3U);  // 19 tips tell nothing
  EXPECT_NEAR(all[0].factor, 1.063830, 1e-6);
  EXPECT_EQ(all[1], (BucketFactor{at_s(90000), 1}));
  EXPECT_EQ(all[2].from, at_s(99000));
}

TEST(PourFactors, EndWithTheBucket) {
  GaugeFacts facts = bucket();
  facts.rows.push_back(facts.rows[0]);
  facts.rows[0].opened = at_s(0);
  facts.rows[1].opened = at_s(20000);
  const auto all = factors({pour(7200, 94)}, IntensityCorrection::none, facts);
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[1], (BucketFactor{at_s(20000), 1}));
}

TEST(PourFactors, KeepWhatWasCountedAndSayWhatTheyAdd) {
  InflowSeries series;
  for (const double end_s : {100.0, 7200.0, 7300.0, 9000.0})
    series.inflows.push_back({at_s(0), at_s(end_s), 1, 0.2, 0.21, 0, 5});
  apply_factors(std::vector<BucketFactor>{{at_s(7200), 1.05}, {at_s(8000), 1}}, series);
  const double want_mm[] = {0.21, 0.2205, 0.2205, 0.21};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(series.inflows[i].corrected_mm, want_mm[i], 1e-12);
    EXPECT_NEAR(series.inflows[i].corrected_mm - series.inflows[i].by_pours_mm, 0.21, 1e-12);
    EXPECT_EQ(series.inflows[i].counted_mm, 0.2);
  }
}

// A gauge with a pour of 20 mm in 94 tips; 50 tips before and 50 after, an hour apart, so that
// nothing else is corrected to speak of.
TEST(PourFactors, AreAppliedOnlyWhenAskedAndOnlyAfter) {
  GaugeFacts facts = bucket();
  facts.visits = {{at_s(200000), at_s(204000)}};
  facts.pours = {{facts.visits[0], 628.318}};
  GaugeTips tips{{{0, {}}}};
  for (int i = 0; i < 50; ++i) tips.trains[0].times.push_back(at_s(10.25 + 3600 * i));
  for (int i = 0; i < 94; ++i) tips.trains[0].times.push_back(at_s(200010.25 + 36 * i));
  for (int i = 0; i < 50; ++i) tips.trains[0].times.push_back(at_s(210000.25 + 3600 * i));
  CorrectOptions options;
  options.correct_intensity = false;
  const auto sum = [](const CorrectedGauge& gauge) {
    double mm = 0;
    for (const Inflow& inflow : gauge.inflow.inflows) mm += inflow.corrected_mm;
    return mm;
  };
  EXPECT_NEAR(sum(correct_gauge(tips, facts, options)), 20, 1e-9);
  options.apply_pours = true;
  const CorrectedGauge applied = correct_gauge(tips, facts, options);
  EXPECT_NEAR(sum(applied), 10 + 10 * 1.0638298, 1e-6);
  double tips_mm = 0;  // the log of tips says the same
  for (const float mm : applied.counters[0].corrected_mm) tips_mm += double{mm};
  EXPECT_NEAR(tips_mm, sum(applied), 1e-5);
  facts.declared_corrected = true;
  EXPECT_NEAR(sum(correct_gauge(tips, facts, options)), 20, 1e-9);
}

}  // namespace
}  // namespace gaugeloom
