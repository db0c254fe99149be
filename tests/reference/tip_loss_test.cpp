// The loss of a tipping bucket against published figures. C. Duchon, C. Fiebrich and D. Grimsley,
// J. Atmos. Oceanic Technol. 31 (2014): loss time 0.450 s, undercatch 0.98 % at 19.9 mm/h and 8.78
// % at 175.2 mm/h. The model behind them is data/tipping_bucket_error_model.csv (computed; see
// data/README.md).

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/tips/inflow.hpp"
#include "support/csv_table.hpp"

namespace gaugeloom {
namespace {

Gauge gauge(double bucket_mm) {
  Gauge one;
  one.bucket_mm = bucket_mm;
  return one;
}

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }

TEST(TipLossReference, AgreesWithTheTableOfBucketsAndIntensities) {
  const auto table = support::CsvTable::read("reference/data/tipping_bucket_error_model.csv");
  ASSERT_EQ(table.rows(), 108U);
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const double bucket_mm = table.number(row, "bucket_mm");
    const double loss_s = table.number(row, "dt_s");
    const double rain_mm_h = table.number(row, "true_mm_h");
    const double interval_s = tip_interval_s(rain_mm_h, bucket_mm, loss_s);
    const double indicated_mm_h = 3600 * bucket_mm / interval_s;
    EXPECT_NEAR(indicated_mm_h, table.number(row, "indicated_mm_h"), 1e-6);  // printed digits
    EXPECT_NEAR(indicated_mm_h * tip_loss_factor(interval_s, bucket_mm, loss_s) / rain_mm_h, 1,
                1e-12);
  }
}

// As a share of the bucket's volume, td I / (3600 b), with a bucket of 0.254 mm. The paper's 8.78 %
// was measured; its model gives 8.62 %: hence 0.2 percent points.
TEST(TipLossReference, LosesWhatWasPublished) {
  EXPECT_NEAR(100 * kLossTimeS * 19.9 / (3600 * 0.254), 0.98, 0.005);
  EXPECT_NEAR(100 * kLossTimeS * 175.2 / (3600 * 0.254), 8.78, 0.2);
  const auto lost_percent = [](double rain_mm_h) {  // of the bucket
    const double interval_s = tip_interval_s(rain_mm_h, 0.254, kLossTimeS);
    return 100 * (tip_loss_factor(interval_s, 0.254, kLossTimeS) - 1);
  };
  EXPECT_NEAR(lost_percent(19.9), 0.98, 0.005);
  EXPECT_NEAR(lost_percent(175.2), 8.78, 0.2);
}

// Tips as the bucket gives them in rain that changes at every tip; corrected, they are the rain.
TEST(TipLossReference, GivesBackTheRainItWasMadeOf) {
  Random random("GivesBackTheRainItWasMadeOf");
  for (const double bucket_mm : {0.1, 0.2, 0.254, 0.5}) {
    std::vector<Instant> stamps{at_s(1000.5)};
    std::vector<double> rain_mm;  // between tips
    for (int i = 0; i < 1000; ++i) {
      const double interval_s =
          1e-6 * std::round(1e6 * tip_interval_s(random.uniform(1, 300), bucket_mm, kLossTimeS));
      stamps.push_back(stamps.back() + Duration(std::llround(1e6 * interval_s)));
      rain_mm.push_back(bucket_mm * interval_s / (interval_s - kLossTimeS));
    }
    const Gauge one = gauge(bucket_mm);
    const auto series = inflow_of_tips(judge_tips(stamps, {}), std::span(&one, 1), nullptr,
                                       IntensityCorrection::tip_loss);
    for (std::size_t i = 0; i < rain_mm.size(); ++i)
      EXPECT_NEAR(series.inflows[i + 1].corrected_mm / rain_mm[i], 1, 1e-12);
  }
}

// A gauge whose chamber of 12 ml empties at 6.5 ml/s into a bucket that loses what passes while it
// turns. Its table is made at six intensities, as a laboratory would; common practice then asks for
// +-2 % to 250 mm/h and +-3 % from 250 to 500 mm/h.
class SiphonGauge {
 public:
  static constexpr double kMlPerMm = 31.4159;
  static constexpr double kBucketMl = 0.2 * kMlPerMm;

  std::vector<Instant> tips(double rain_mm_h, double hours) {
    std::vector<Instant> stamps;
    double chamber_ml = 0;
    double bucket_ml = 0;
    double turning_s = 0;
    bool emptying = false;
    constexpr double kStepS = 0.01;
    for (double t = 0; t < 3600 * hours; t += kStepS) {
      chamber_ml += rain_mm_h * kMlPerMm * kStepS / 3600;
      if (chamber_ml >= 12) emptying = true;
      if (!emptying) continue;
      const double flow_ml = std::min(chamber_ml, 6.5 * kStepS);
      chamber_ml -= flow_ml;
      emptying = chamber_ml > 0;
      turning_s -= kStepS;
      if (turning_s > 0) continue;  // lost
      bucket_ml += flow_ml;
      if (bucket_ml < kBucketMl) continue;
      stamps.push_back(at_s(t + 0.001));
      bucket_ml = 0;
      turning_s = kLossTimeS;
    }
    return stamps;
  }

  static double indicated_mm_h(const std::vector<Instant>& stamps, double hours) {
    return 0.2 * static_cast<double>(stamps.size()) / hours;
  }
};

TEST(TipLossReference, ASiphonIsWithinItsClassOnceCorrected) {
  SiphonGauge siphon;
  std::vector<CalibrationPoint> points;
  for (const double rain_mm_h : {10.0, 50.0, 100.0, 200.0, 350.0, 500.0}) {
    const double indicated = SiphonGauge::indicated_mm_h(siphon.tips(rain_mm_h, 3), 3);
    points.push_back({indicated, rain_mm_h / indicated});
  }
  const CalibrationTable table(points);
  Gauge one = gauge(0.2);
  one.siphon_ml = 12;
  double worst_uncorrected = 0;
  for (const double rain_mm_h : {5.0, 15.0, 30.0, 75.0, 150.0, 250.0, 300.0, 430.0, 500.0}) {
    SCOPED_TRACE(rain_mm_h);
    const double hours = 20 / rain_mm_h + 0.5;
    const auto series = inflow_of_tips(judge_tips(siphon.tips(rain_mm_h, hours), {}),
                                       std::span(&one, 1), &table, IntensityCorrection::table);
    double corrected_mm = 0;
    double counted_mm = 0;
    for (std::size_t i = 1; i < series.inflows.size(); ++i) {
      corrected_mm += series.inflows[i].corrected_mm;
      counted_mm += series.inflows[i].counted_mm;
    }
    const auto length = series.inflows.back().to - series.inflows.front().to;
    const double rain_mm = rain_mm_h * 1e-6 * static_cast<double>(length.count()) / 3600;
    EXPECT_NEAR(corrected_mm / rain_mm, 1, rain_mm_h <= 250 ? 0.02 : 0.03);
    worst_uncorrected = std::max(worst_uncorrected, std::abs(counted_mm / rain_mm - 1));
  }
  EXPECT_GT(worst_uncorrected, 0.03);  // else the correction would have had nothing to do
}

}  // namespace
}  // namespace gaugeloom
