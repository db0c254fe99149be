#include "gaugeloom/rehearse/swapped_gauges.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(SwappedGauges, ExchangeTheirStepsMissingOnesIncluded) {
  const StepAxis axis(Instant{}, std::chrono::hours(1), 3);
  const std::vector<float> values{1, 2, 3, 4, kNan, 6};
  RainTable table(axis, 2, values);
  swap_gauges(table, 0, 1, {1, 3});
  EXPECT_EQ(table.depth_mm(0, 0), 1);
  EXPECT_FALSE(table.is_measured(0, 1));
  EXPECT_EQ(table.depth_mm(0, 2), 6);
  EXPECT_EQ(table.depth_mm(1, 0), 4);
  EXPECT_EQ(table.depth_mm(1, 1), 2);
  EXPECT_EQ(table.depth_mm(1, 2), 3);
  swap_gauges(table, 0, 1, {1, 3});
  EXPECT_EQ(table.depth_mm(0, 1), 2);
  EXPECT_FALSE(table.is_measured(1, 1));
}

}  // namespace
}  // namespace gaugeloom
