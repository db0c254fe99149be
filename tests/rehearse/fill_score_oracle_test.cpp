// Fills hidden depths of a synthetic network and scores them against what was hidden and against
// three plain ways. The full table, on real networks too, is printed by bench/fill_scores.cpp.
#include <gtest/gtest.h>

#include "gaugeloom/rehearse/fill_score.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

TEST(FillScore, BeatsPlainWaysOnHiddenDepths) {
  support::SyntheticRainOptions options;
  options.gauges = 30;
  options.steps = 40 * 96;
  options.step = std::chrono::minutes(15);
  options.climate.mean_wait_h = 24;
  const support::SyntheticRain rain = support::synthetic_rain(options);
  RainRecord truth;
  truth.depths = rain.table;
  const auto gaps = random_gaps(truth, 4, "fill scores");
  const RainRecord hidden = with_hidden(truth, gaps);
  const FillResult filled = fill_gaps(rain.network, hidden, all_good(hidden.depths));
  const FillScore score = score_fill(rain.network, truth, filled, gaps);
  SCOPED_TRACE(as_text(score));
  ASSERT_EQ(score.windows.size(), 5U);
  const WindowScore& hourly = score.windows[1];
  ASSERT_EQ(hourly.window, "1 h");
  // Each limit lies just beyond what was measured (in brackets), so that a loss shows. Goals at
  // some 10 km between gauges: ratios <= 0.80 and <= 0.97, bias +-1 %, wet ratio 0.95-1.05, bands
  // 87-93 %, 3-8 % of the wet steps above.
  EXPECT_LE(hourly.fill.rmse_mm / hourly.nearest.rmse_mm, 0.65);   // [0.627]
  EXPECT_LE(hourly.fill.rmse_mm / hourly.inverse.rmse_mm, 0.965);  // [0.951]
  EXPECT_LE(hourly.crps_mm / hourly.inverse.mae_mm, 0.72);         // [0.692]
  EXPECT_NEAR(score.wet_ratio, 1, 0.02);                           // [0.998]
  EXPECT_NEAR(score.bias, 0, 0.02);                                // [0.015, give or take 0.048]
  EXPECT_NEAR(score.step_above, 0.041, 0.01);                      // [0.041]
  EXPECT_LE(score.pit.distance(), 0.006);                          // [0.0031]
  // Windows of one storm go together, so these few hold 90 % only roughly.
  EXPECT_NEAR(hourly.wet.coverage, 0.92, 0.03);            // [0.940 of 167]
  EXPECT_NEAR(score.windows[2].wet.coverage, 0.91, 0.03);  // 6 h [0.931 of 102]
  EXPECT_NEAR(score.windows[3].wet.coverage, 0.92, 0.04);  // 24 h [0.939 of 49]
  EXPECT_NEAR(score.windows[4].wet.coverage, 0.93, 0.05);  // storms [0.968 of 63]
  EXPECT_EQ(hourly.heavy.windows, 17U);                    // a tenth of 167, rounded up
  EXPECT_EQ(score.refused, 0);
}

}  // namespace
}  // namespace gaugeloom
