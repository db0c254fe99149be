#include "gaugeloom/rehearse/gain_change.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(GainChange, CountsItsShareWithinABucket) {
  Random random("GainChange.CountsItsShareWithinABucket");
  for (const double gain : {0.8, 0.9, 1.1}) {
    std::vector<float> depth(500);
    double rain = 0;
    for (float& d : depth) {
      d = 0.2F * static_cast<float>(random.below(10));
      rain += static_cast<double>(d);
    }
    change_gain(depth, {0, 500}, {gain, gain, 0.2});
    double counted = 0;
    for (const float d : depth) {
      counted += static_cast<double>(d);
      EXPECT_NEAR(d / 0.2F, std::round(d / 0.2F), 1e-4);  // whole tips
    }
    EXPECT_LE(counted, gain * rain + 1e-3);
    EXPECT_GT(counted, gain * rain - 0.2 - 1e-3);
  }
}

TEST(GainChange, OfARampGrows) {
  std::vector<float> depth(1000, 1.0F);
  change_gain(depth, {0, 1000}, {1, 0.8, 0.2});
  double first = 0;
  double second = 0;
  for (std::size_t i = 0; i < 500; ++i) first += static_cast<double>(depth[i]);
  for (std::size_t i = 500; i < 1000; ++i) second += static_cast<double>(depth[i]);
  EXPECT_NEAR(first, 475, 0.5);  // mean gain 0.95, then 0.85
  EXPECT_NEAR(second, 425, 0.5);
}

TEST(GainChange, OfOneChangesNothing) {
  std::vector<float> depth{0.2F, 0, kNan, 1.4F, 0.6F};
  change_gain(depth, {0, 5}, {});
  EXPECT_NEAR(depth[0], 0.2, 1e-6);
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_NEAR(depth[3], 1.4, 1e-6);
  EXPECT_NEAR(depth[4], 0.6, 1e-6);
}

}  // namespace
}  // namespace gaugeloom
