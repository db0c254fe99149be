#include "gaugeloom/rehearse/release_burst.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

TEST(ReleaseBurst, LetsGoWhatWasHeld) {
  std::vector<float> depth{1, 2, 3, 0, 0.4F, 0};
  const double released = release_after_block(depth, {1, 3}, 2, 50, 0.2);
  EXPECT_NEAR(released, 5, 1e-9);
  EXPECT_EQ(depth[0], 1);
  EXPECT_EQ(depth[1], 0);
  EXPECT_EQ(depth[2], 0);
  EXPECT_NEAR(depth[3] + depth[4], 5.4, 1e-5);
  EXPECT_EQ(depth[5], 0);
}

TEST(ReleaseBurst, HoldsNoMoreThanTheFunnel) {
  std::vector<float> depth{40, 40, 0};
  EXPECT_NEAR(release_after_block(depth, {0, 2}, 1, 50, 0.2), 50, 1e-9);
  EXPECT_NEAR(depth[2], 50, 1e-5);
}

}  // namespace
}  // namespace gaugeloom
