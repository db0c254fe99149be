#include "gaugeloom/expect/ratio_null.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

// 400 days of one gauge with 10 mm expected, the log ratios spread evenly over -1 to 1.
BlockSums even_days() {
  BlockSums days;
  days.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 400);
  for (int i = 0; i < 400; ++i) {
    BlockSum day;
    day.expected_mm = 10;
    const double ratio = -1 + 2 * (i + 0.5) / 400;
    day.observed_mm = static_cast<float>(10.2 * std::exp(ratio) - 0.2);
    day.usable_share = 1;
    days.values.push_back(day);
  }
  return days;
}

TEST(RatioNull, TurnsTheSampleIntoProbabilities) {
  const std::vector<double> bucket{0.2};
  const RatioNull null = RatioNull::learned(even_days(), bucket);
  EXPECT_NEAR(null.middle(10), 0, 0.01);
  EXPECT_NEAR(null.spread(10), 0.68, 0.01);                 // of an even law over -1 to 1
  EXPECT_NEAR(null.low_nats(10, 0), std::log(2), 0.02);     // half lies below
  EXPECT_NEAR(null.low_nats(10, -0.8), std::log(10), 0.1);  // a tenth
  EXPECT_NEAR(null.high_nats(10, 0.8), std::log(10), 0.1);
}

TEST(RatioNull, GoesOnBeyondTheSample) {
  const std::vector<double> bucket{0.2};
  const RatioNull null = RatioNull::learned(even_days(), bucket);
  EXPECT_GT(null.low_nats(10, -2), null.low_nats(10, -1.5) + 1);
  EXPECT_NEAR(null.low_nats(10, 5), 0, 0.01);  // half a rank of 400
}

TEST(RatioNull, JudgesNothingWithoutEnoughDays) {
  BlockSums few = even_days();
  few.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 29);
  few.values.resize(29);
  const std::vector<double> bucket{0.2};
  const RatioNull null = RatioNull::learned(few, bucket);
  EXPECT_FALSE(null.judges(10));
  EXPECT_EQ(null.low_nats(10, -3), 0);
  EXPECT_FALSE(RatioNull::learned(even_days(), bucket).judges(0.5));
}

TEST(RatioNull, ComesBackFromItsValues) {
  const std::vector<double> bucket{0.2};
  const RatioNull null = RatioNull::learned(even_days(), bucket);
  const RatioNull again = RatioNull::from(null.values());
  EXPECT_EQ(again.values().lists, null.values().lists);
  for (const double value : {-3.0, -0.7, 0.1, 2.5}) {
    EXPECT_EQ(again.low_nats(10, value), null.low_nats(10, value));
    EXPECT_EQ(again.high_nats(10, value), null.high_nats(10, value));
  }
  EXPECT_FALSE(RatioNull::from(RatioNull().values()).judges(10));
}

}  // namespace
}  // namespace gaugeloom
