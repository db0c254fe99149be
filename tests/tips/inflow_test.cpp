#include "gaugeloom/tips/inflow.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }

Gauge gauge(double bucket_mm = 0.2) {
  Gauge one;
  one.id = "A";
  one.bucket_mm = bucket_mm;
  return one;
}

InflowSeries inflow(std::vector<Instant> stamps, const Gauge& of,
                    IntensityCorrection correction = IntensityCorrection::tip_loss,
                    const CalibrationTable* table = nullptr, std::vector<Interval> visits = {}) {
  return inflow_of_tips(judge_tips(std::move(stamps), visits), std::span(&of, 1), table,
                        correction);
}

TEST(Inflow, FillsTheBucketSinceTheTipBefore) {
  const auto series = inflow({at_s(100.5), at_s(110.5)}, gauge());
  ASSERT_EQ(series.inflows.size(), 2U);
  EXPECT_EQ(series.inflows[0].from, series.inflows[0].to);
  EXPECT_EQ(series.inflows[0].corrected_mm, 0.2);
  EXPECT_TRUE(std::isnan(series.inflows[0].rate_mm_h));
  EXPECT_EQ(series.inflows[1].from, at_s(100.5));
  EXPECT_NEAR(series.inflows[1].rate_mm_h, 3600 * 0.2 / (10 - 0.45), 1e-9);
  EXPECT_NEAR(series.inflows[1].corrected_mm, 0.2 * 10 / 9.55, 1e-12);
}

TEST(Inflow, StandsAtItsOwnTimeAfterHalfAnHour) {
  const auto series = inflow({at_s(0.5), at_s(1800.5), at_s(3600.6)}, gauge());
  EXPECT_EQ(series.inflows[1].from, at_s(0.5));
  EXPECT_EQ(series.inflows[2].from, series.inflows[2].to);
  EXPECT_NEAR(series.inflows[2].rate_mm_h, 0.4, 1e-3);
}

TEST(Inflow, BeginsAnewAfterTestTips) {
  const auto series = inflow({at_s(0.5), at_s(60.5), at_s(120.5)}, gauge(),
                             IntensityCorrection::tip_loss, nullptr, {{at_s(50), at_s(70)}});
  ASSERT_EQ(series.inflows.size(), 2U);
  EXPECT_EQ(series.inflows[1].from, at_s(120.5));
  EXPECT_TRUE(std::isnan(series.inflows[1].rate_mm_h));
}

TEST(Inflow, UsesTheTableAndSaysWhereItEnds) {
  const CalibrationTable table({{10, 1.0}, {100, 1.1}});
  const auto series = inflow({at_s(0.5), at_s(36.5), at_s(40.5), at_s(1000.5)}, gauge(),
                             IntensityCorrection::table, &table);
  EXPECT_NEAR(series.inflows[1].corrected_mm, 0.2 * (1 + 0.1 * 10 / 90), 1e-12);  // 20 mm/h
  EXPECT_NEAR(series.inflows[2].corrected_mm, 0.22, 1e-12);                       // 180 mm/h
  EXPECT_EQ(series.inflows[3].corrected_mm, 0.2);                                 // 0.75 mm/h
  EXPECT_EQ(series.beyond_table, 2U);
}

TEST(Inflow, NeverCorrectsWhatWasDeclaredCorrected) {
  for (const auto correction : {IntensityCorrection::declared, IntensityCorrection::none})
    for (const Inflow& one : inflow({at_s(0.1), at_s(1.3), at_s(2.4)}, gauge(), correction).inflows)
      EXPECT_EQ(one.corrected_mm, one.counted_mm);
}

TEST(Inflow, HoldsTheFactorWhereTipsComeTooClose) {
  const auto series = inflow({at_s(0.1), at_s(0.65), at_s(1.3)}, gauge());
  EXPECT_EQ(series.held, 2U);
  EXPECT_NEAR(series.inflows[1].corrected_mm,
              0.2 * tip_loss_factor(least_tip_interval_s(0.2, 0.45), 0.2, 0.45), 1e-12);
}

TEST(Inflow, TakesTheBucketOfItsTime) {
  std::vector<Gauge> rows{gauge(0.2), gauge(0.5)};
  rows[1].opened = at_s(100);
  const auto tips = judge_tips({at_s(50.5), at_s(99.9), at_s(100.6)}, {});
  const auto series = inflow_of_tips(tips, rows, nullptr, IntensityCorrection::none);
  EXPECT_EQ(series.inflows[0].counted_mm, 0.2);
  EXPECT_EQ(series.inflows[1].counted_mm, 0.2);
  EXPECT_EQ(series.inflows[2].counted_mm, 0.5);
}

// Two emptyings of a chamber of some two buckets, five minutes apart, then a third with one tip.
TEST(Inflow, TakesTheBurstOfASiphonAsOne) {
  Gauge siphon = gauge();
  siphon.siphon_ml = 12;
  const std::vector<Instant> stamps{at_s(0.1),   at_s(2.3),   at_s(300.1),
                                    at_s(302.2), at_s(304.2), at_s(600.7)};
  const CalibrationTable table({{1, 1.0}, {7.2, 1.0}, {20, 2.0}});
  const auto series = inflow(stamps, siphon, IntensityCorrection::table, &table);
  ASSERT_EQ(series.inflows.size(), 3U);
  EXPECT_EQ(series.inflows[1].tips, 3U);
  EXPECT_EQ(series.inflows[1].from, at_s(0.1));
  EXPECT_EQ(series.inflows[1].to, at_s(300.1));
  EXPECT_NEAR(series.inflows[1].rate_mm_h, 7.2, 1e-9);  // not the 340 mm/h within the burst
  EXPECT_NEAR(series.inflows[1].corrected_mm, 0.6, 1e-9);
  EXPECT_NEAR(series.inflows[2].counted_mm, 0.2, 1e-12);
}

TEST(Inflow, OfASiphonSmallerThanTheBucketIsThatOfTips) {
  Gauge small = gauge();
  small.siphon_ml = 6;
  EXPECT_FALSE(has_bursts(small, {}));
  EXPECT_EQ(inflow({at_s(0.1), at_s(2.3)}, small).inflows.size(), 2U);
}

TEST(Inflow, RefusesOptionsOutOfRange) {
  const Gauge one = gauge();
  InflowOptions options;
  options.loss_time_s = 1.5;
  EXPECT_THROW(inflow_of_tips({}, std::span(&one, 1), nullptr, IntensityCorrection::none, options),
               Error);
}

// Steady rain through a logger of whole seconds or minutes: the corrected total is the rain.
TEST(Inflow, IsRightForCoarseLoggersToo) {
  for (const int resolution_s : {1, 60})
    for (const double rain_mm_h : {5.0, 20.0, 60.0, 100.0, 175.2, 300.0, 500.0}) {
      SCOPED_TRACE(rain_mm_h);
      const double interval_s = tip_interval_s(rain_mm_h, 0.2, kLossTimeS);
      std::vector<Instant> stamps;
      for (int i = 0; i < 2000; ++i)
        stamps.push_back(at_s(std::floor(i * interval_s / resolution_s) * resolution_s));
      const auto series = inflow(stamps, gauge());
      double corrected_mm = 0;
      for (const Inflow& one : series.inflows) corrected_mm += one.corrected_mm;
      const double rain_mm = rain_mm_h * 2000 * interval_s / 3600;
      EXPECT_NEAR(corrected_mm / rain_mm, 1, resolution_s == 1 ? 0.003 : 0.01);
    }
}

}  // namespace
}  // namespace gaugeloom
