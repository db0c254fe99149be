#include "gaugeloom/rehearse/full_block.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(FullBlock, TakesExactlyTheRainOfItsSteps) {
  std::vector<float> depth{0.2F, 0.4F, kNan, 1.0F, 0.6F};
  block_fully(depth, {1, 4});
  EXPECT_EQ(depth[0], 0.2F);
  EXPECT_EQ(depth[1], 0);
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_EQ(depth[3], 0);
  EXPECT_EQ(depth[4], 0.6F);
}

}  // namespace
}  // namespace gaugeloom
