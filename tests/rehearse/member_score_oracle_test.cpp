// Draws members for hidden depths of a synthetic network and scores their sums against what was
// hidden. The full table, on real networks too, is printed by bench/fill_scores.cpp.
#include "gaugeloom/rehearse/member_score.hpp"

#include <gtest/gtest.h>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

TEST(MemberScore, HoldsTheTruthAndScoresNoWorseThanTheLawOfTheBand) {
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
  const Ensemble ensemble(rain.network, hidden, filled, {199, 1, 0});
  const auto scores = score_members(rain.network, truth, filled, ensemble, gaps);
  SCOPED_TRACE(as_text(scores));
  ASSERT_EQ(scores.size(), 5U);
  for (const MemberScore& score : scores) {
    SCOPED_TRACE(score.window);
    // Measured: 0.91 to 1 of 49 windows or more, beyond a step; a ratio of 0.88 to 1.10; 0.91 to
    // 0.99 of the CRPS of the band.
    if (score.window != "step") {
      EXPECT_GE(score.members_hold, 0.88);
    }
    EXPECT_NEAR(score.spread_ratio, 1, 0.15);
    EXPECT_LE(score.members_crps_mm, 1.01 * score.band_crps_mm);
    EXPECT_NEAR(score.mean_mm / score.estimate_mm, 1, 0.04);
  }
}

}  // namespace
}  // namespace gaugeloom
