#include "gaugeloom/rehearse/phantom_tips.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(PhantomTips, AddWholeBucketsEvenly) {
  std::vector<float> series{0, 0, kNan, 0, 0.2F, 0};
  EXPECT_NEAR(add_tips(series, {1, 5}, 1.3, 0.2), 1.2, 1e-9);
  EXPECT_EQ(series[0], 0);
  EXPECT_NEAR(series[1], 0.4, 1e-6);
  EXPECT_TRUE(std::isnan(series[2]));
  EXPECT_NEAR(series[3], 0.4, 1e-6);
  EXPECT_NEAR(series[4], 0.6, 1e-6);
  EXPECT_EQ(series[5], 0);
}

TEST(PhantomTips, NeedAMeasuredStep) {
  std::vector<float> series{kNan, kNan};
  EXPECT_EQ(add_tips(series, {0, 2}, 5, 0.2), 0);
  EXPECT_TRUE(std::isnan(series[0]));
}

}  // namespace
}  // namespace gaugeloom
