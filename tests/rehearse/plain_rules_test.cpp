#include "gaugeloom/rehearse/plain_rules.hpp"

#include <gtest/gtest.h>

#include <limits>

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
  days.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 3);
  days.values = {{4, 9, 1, true}, {16, 9, 1, true}, {0, 100, 0.1F, true}};
  const auto episodes = residual_episodes(days, 0, 0.5);
  ASSERT_EQ(episodes.size(), 2U);  // the third is measured too little
  EXPECT_NEAR(episodes[0].peak, 1, 1e-12);
  EXPECT_NEAR(episodes[1].peak, 1, 1e-12);
  EXPECT_EQ(episodes[1].called, Instant{} + std::chrono::hours(48));
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
