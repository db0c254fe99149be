#include "gaugeloom/expect/hour_law.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

RainTable hours(BulkVector<float> values, std::size_t gauges) {
  const std::size_t count = values.size() / gauges;
  return RainTable(StepAxis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), count),
                   gauges, std::move(values));
}

ExpectedDepths expecting(BulkVector<float> depth_mm, BulkVector<float> wet, std::size_t steps) {
  ExpectedDepths expected;
  expected.steps = steps;
  expected.depth_mm = std::move(depth_mm);
  expected.wet_share = std::move(wet);
  return expected;
}

TEST(HourLaw, PutsDepthsIntoClasses) {
  EXPECT_EQ(hour_class(0), 0U);
  EXPECT_EQ(hour_class(0.2), 1U);
  EXPECT_EQ(hour_class(0.4), 2U);
  EXPECT_EQ(hour_class(500), kHourClasses - 1);
}

TEST(HourLaw, AddsUpToOneInEveryRowWithAndWithoutData) {
  const RainTable rain = hours({0, 0.2F, 1.4F, 30}, 1);
  const auto expected = expecting({0, 0.1F, 1, 20}, {0, 0.3F, 1, 1}, 4);
  for (const HourLaw& law : {HourLaw(), HourLaw::learned(rain, expected, Exclusions(1, 4))})
    for (const HourRow row :
         {hour_row(0, 0), hour_row(0.1, 0.3), hour_row(1, 0.6), hour_row(30, 1), kDryAroundRow}) {
      double sum = 0;
      for (std::size_t c = 0; c < kHourClasses; ++c) {
        EXPECT_GT(law.probability(row, c), 0);
        sum += law.probability(row, c);
      }
      EXPECT_NEAR(sum, 1, 1e-12);  // rounding of 14 terms
    }
}

TEST(HourLaw, LearnsFromMeasuredHoursThatAreNotExcluded) {
  constexpr std::size_t kSteps = 3000;
  BulkVector<float> read(kSteps, 1.4F);
  read[7] = NAN;
  Exclusions excluded(1, kSteps);
  for (std::size_t i = 0; i < 1000; ++i) read[i] = 0;
  excluded.set(0, 0, 1000);
  const auto expected =
      expecting(BulkVector<float>(kSteps, 1), BulkVector<float>(kSteps, 1), kSteps);
  const HourLaw law = HourLaw::learned(hours(read, 1), expected, excluded);
  EXPECT_GT(law.probability(hour_row(1, 1), hour_class(1.4)), 0.97);
  EXPECT_LT(law.probability(hour_row(1, 1), 0), 0.01);
}

TEST(HourLaw, CallsAnHourDryAroundOnlyWithDryHoursBesideIt) {
  const auto expected = expecting({0, 0, 0, 0, 2}, {0, 0, 0, 0, 1}, 5);
  EXPECT_EQ(row_of_hour(expected, 0, 0), kDryAroundRow);
  EXPECT_EQ(row_of_hour(expected, 0, 2), kDryAroundRow);
  EXPECT_NE(row_of_hour(expected, 0, 3), kDryAroundRow);
  EXPECT_EQ(row_of_hour(expected, 0, 4), hour_row(2, 1));
}

TEST(HourLaw, ComesBackFromItsValues) {
  const RainTable rain = hours({0, 0.2F, 1.4F, 30}, 1);
  const HourLaw law =
      HourLaw::learned(rain, expecting({0, 0.1F, 1, 20}, {0, 0.3F, 1, 1}, 4), Exclusions(1, 4));
  const HourLaw again = HourLaw::from(law.values());
  for (HourRow row = 0; row < 29; ++row)
    for (std::size_t c = 0; c < kHourClasses; ++c)
      EXPECT_EQ(again.probability(row, c), law.probability(row, c));
}

}  // namespace
}  // namespace gaugeloom
