#include "gaugeloom/rehearse/held_back_total.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(HeldBackTotal, ArrivesInTheLastMeasuredStep) {
  std::vector<float> depth{0.2F, 0.4F, kNan, 1.0F, kNan, 0.6F};
  hold_back(depth, {1, 5});
  EXPECT_EQ(depth[0], 0.2F);
  EXPECT_EQ(depth[1], 0);
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_NEAR(depth[3], 1.4, 1e-6);
  EXPECT_TRUE(std::isnan(depth[4]));
  EXPECT_EQ(depth[5], 0.6F);
}

TEST(HeldBackTotal, ComesAfterAnOutage) {
  std::vector<float> depth{0.2F, 0.4F, kNan, 1.0F, 0.6F};
  lose_but_total(depth, {1, 4});
  EXPECT_EQ(depth[0], 0.2F);
  EXPECT_TRUE(std::isnan(depth[1]));
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_NEAR(depth[3], 1.4, 1e-6);
  EXPECT_EQ(depth[4], 0.6F);
}

}  // namespace
}  // namespace gaugeloom
