#include "gaugeloom/rehearse/plain_rules.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

RainTable hours(BulkVector<float> depth_mm) {
  const std::size_t count = depth_mm.size();
  return {StepAxis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), count), 1,
          std::move(depth_mm)};
}

ExpectedDepths expected(BulkVector<float> depth_mm) {
  ExpectedDepths all;
  all.steps = depth_mm.size();
  all.wet_share.assign(depth_mm.size(), 1);
  all.depth_mm = std::move(depth_mm);
  return all;
}

TEST(PlainRules, SumWhatWasExpectedSinceTheLastTip) {
  const auto table = hours({0.2F, 0, 0, kNan, 0, 0.4F, 0});
  const auto estimates = expected({5, 1, 2, 8, 3, 9, 0.5F});
  const auto episodes = dry_sum_episodes(table, estimates, 0, 2.5);
  ASSERT_EQ(episodes.size(), 2U);
  EXPECT_EQ(episodes[0].peak, 6);  // the missing hour tells nothing
  EXPECT_EQ(episodes[0].called, Instant{} + std::chrono::hours(3));
  EXPECT_EQ(episodes[0].over.from, Instant{} + std::chrono::hours(1));
  EXPECT_EQ(episodes[0].over.to, Instant{} + std::chrono::hours(5));
  EXPECT_EQ(episodes[1].peak, 0.5);
  EXPECT_FALSE(episodes[1].called);
}

TEST(PlainRules, JudgeDaysByTheirResidual) {
  BlockSums days;
  days.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 5);
  // Too little measured, and no rain: neither is judged. The others are off by -1, 1 and 4.
  days.values = {{4, 9, 1, true},
                 {16, 9, 1, true},
                 {0, 100, 0.1F, true},
                 {36, 4, 1, true},
                 {0, 0.5F, 1, true}};
  const auto episodes = residual_episodes(days, 0, 1);
  ASSERT_EQ(episodes.size(), 2U);                // the median itself is no episode
  EXPECT_NEAR(episodes[0].peak, 0.6745, 1e-12);  // 2 from the median, and half of them 2 or less
  EXPECT_FALSE(episodes[0].called);
  EXPECT_NEAR(episodes[1].peak, 0.6745 * 1.5, 1e-12);
  EXPECT_EQ(episodes[1].called, Instant{} + std::chrono::hours(96));
}

TEST(PlainRules, SumTheDaysOff) {
  BlockSums days;
  days.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 6);
  for (const float observed : {19.8F, 9.8F, 0.0F, 19.8F, 19.8F, 4.8F})
    days.values.push_back({observed, observed == 0 ? 1.0F : 9.8F, 1, true});
  const DayRatios ratios = day_ratios(days, 0, 0.2);
  EXPECT_EQ(ratios.days, (std::vector<std::size_t>{0, 1, 3, 4, 5}));  // one has too little rain
  EXPECT_NEAR(ratios.log_ratios[0], std::log(2.0), 1e-6);
  const std::vector<double> usual{-std::log(2.0), 0, std::log(2.0)};
  // Scores of 0.6745 on days of double, 0 as expected, -0.6745 on half: less 0.5 each.
  const auto episodes = cusum_episodes(ratios, days.axis, ModifiedZ(usual), 0.3);
  ASSERT_EQ(episodes.size(), 2U);  // the day of half goes on with the second
  EXPECT_NEAR(episodes[0].peak, 0.1745, 1e-6);
  EXPECT_FALSE(episodes[0].called);
  EXPECT_NEAR(episodes[1].peak, 0.349, 1e-6);
  EXPECT_EQ(episodes[1].called, Instant{} + std::chrono::hours(5 * 24));
  EXPECT_EQ(episodes[1].over.from, Instant{} + std::chrono::hours(3 * 24));
}

TEST(PlainRules, PassTheirThresholdAsOftenAsAsked) {
  const std::vector<double> peaks{3, 9, 1, 7, 5};
  for (std::size_t calls = 0; calls < 5; ++calls) {
    const double threshold = threshold_for(peaks, calls);
    std::size_t passed = 0;
    for (const double peak : peaks) passed += peak > threshold ? 1 : 0;
    EXPECT_EQ(passed, calls);
  }
  EXPECT_EQ(threshold_for({}, 0), 0);
}

}  // namespace
}  // namespace gaugeloom
