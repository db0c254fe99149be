#include "gaugeloom/fill/duration_errors.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

DurationErrors two_durations() {
  DurationErrors errors;
  errors.durations.push_back({1, {{1, 0.5, 2, 0.6, 100}, {4, 0.75, 1.5, 0.3, 100}}, 0.2, 0.1});
  errors.durations.push_back({100, {{10, 0.9, 1.1, 0.05, 100}}, 1, 0.4});
  return errors;
}

TEST(DurationErrors, GoesLinearlyWithTheLogarithmBetweenBins) {
  const DepthError error = two_durations().at(1, 2);  // half way from 1 to 4
  EXPECT_NEAR(error.low_mm, 2 * 0.625, 1e-12);
  EXPECT_NEAR(error.high_mm, 2 * 1.75, 1e-12);
  EXPECT_NEAR(error.standard_error_mm, 2 * 0.45, 1e-12);
}

TEST(DurationErrors, KeepsRatiosAboveTheLastBinAndMillimetresBelowTheFirst) {
  EXPECT_NEAR(two_durations().at(1, 40).high_mm, 60, 1e-9);
  EXPECT_NEAR(two_durations().at(1, 0.1).high_mm, 2, 1e-12);
  EXPECT_NEAR(two_durations().at(1, 0.1).low_mm, 0.05, 1e-12);
}

TEST(DurationErrors, GoesLinearlyWithTheLogarithmBetweenDurations) {
  const DepthError error = two_durations().at(10, 40);  // half way from 1 h to 100 h
  EXPECT_NEAR(error.high_mm, (60 + 44) / 2.0, 1e-9);
  EXPECT_NEAR(two_durations().at(8760, 40).high_mm, 44, 1e-9);
  EXPECT_NEAR(two_durations().at(0.1, 40).high_mm, 60, 1e-9);
}

TEST(DurationErrors, DryEstimatesHaveALowBoundOfNought) {
  const DepthError error = two_durations().at(1, 0);
  EXPECT_EQ(error.low_mm, 0);
  EXPECT_EQ(error.high_mm, 0.2);
  EXPECT_EQ(error.standard_error_mm, 0.1);
}

TEST(DurationErrors, SaysNothingWhenNothingWasLearned) {
  EXPECT_TRUE(std::isnan(DurationErrors{}.at(1, 2).high_mm));
}

}  // namespace
}  // namespace gaugeloom
