#include "gaugeloom/rehearse/clock_shift.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(ClockShift, StampsRainLater) {
  std::vector<float> depth{1, 2, 3, 4, 5, 6};
  shift_clock(depth, {2, 5}, 1);
  EXPECT_EQ(depth, (std::vector<float>{1, 2, 2, 3, 4, 6}));
}

TEST(ClockShift, StampsRainEarlier) {
  std::vector<float> depth{1, 2, 3, 4, 5, 6};
  shift_clock(depth, {2, 5}, -1);
  EXPECT_EQ(depth, (std::vector<float>{1, 2, 4, 5, 6, 6}));
}

TEST(ClockShift, LeavesTheEdgeOfTheSeriesMissing) {
  std::vector<float> depth{1, 2, kNan};
  shift_clock(depth, {0, 3}, 2);
  EXPECT_TRUE(std::isnan(depth[0]));
  EXPECT_TRUE(std::isnan(depth[1]));
  EXPECT_EQ(depth[2], 1);
}

}  // namespace
}  // namespace gaugeloom
