// Fills hidden depths of a synthetic network and scores them against what was hidden and against
// three plain ways. The full table, on real networks too, is printed by bench/fill_scores.cpp.
#include <gtest/gtest.h>

#include "support/fill_scoring.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

TEST(FillScores, BeatsPlainWaysOnHiddenDepths) {
  support::SyntheticRainOptions options;
  options.gauges = 30;
  options.steps = 40 * 96;
  options.step = std::chrono::minutes(15);
  options.climate.mean_wait_h = 24;
  const support::SyntheticRain rain = support::synthetic_rain(options);
  RainRecord truth;
  truth.depths = rain.table;
  const auto gaps = support::random_gaps(truth, 4, "fill scores");
  const RainRecord hidden = support::with_hidden(truth, gaps);
  const FillResult filled = fill_gaps(rain.network, hidden, support::all_good(hidden.depths));
  const support::FillScore score = support::score_fill(rain.network, truth, filled, gaps);
  SCOPED_TRACE(support::as_text(score));
  const support::DurationScore& hourly = score.durations.at(1);
  ASSERT_EQ(hourly.hours, 1);
  EXPECT_LE(hourly.fill_rmse / hourly.nearest_rmse, 0.80);
  EXPECT_LE(hourly.fill_rmse / hourly.inverse_rmse, 0.97);
  EXPECT_NEAR(score.wet_ratio, 1, 0.1);
  EXPECT_NEAR(score.bias, 0, 0.1);
  EXPECT_NEAR(hourly.coverage, 0.9, 0.07);
  EXPECT_EQ(score.refused, 0);
}

}  // namespace
}  // namespace gaugeloom
