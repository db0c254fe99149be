#include "gaugeloom/rehearse/miscounted_tips.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(MiscountedTips, MultiplyWhatWasMeasured) {
  std::vector<float> depth{0.2F, 0, kNan, 0.4F, 0.2F};
  miscount_tips(depth, {1, 4}, 2);
  EXPECT_EQ(depth[0], 0.2F);
  EXPECT_EQ(depth[1], 0);
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_EQ(depth[3], 0.8F);
  EXPECT_EQ(depth[4], 0.2F);
}

}  // namespace
}  // namespace gaugeloom
