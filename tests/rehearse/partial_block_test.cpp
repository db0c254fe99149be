#include "gaugeloom/rehearse/partial_block.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

double total(const WaterBalance& b) {
  return b.tipped_mm + b.spilled_mm + b.stored_mm + b.unread_mm;
}

double sum(const std::vector<float>& depth) {
  double all = 0;
  for (const float d : depth) all += std::isnan(d) ? 0 : static_cast<double>(d);
  return all;
}

TEST(PartialBlock, KeepsEveryDropOfWater) {
  Random random("PartialBlock.KeepsEveryDropOfWater");
  for (const double step_h : {1.0 / 12, 0.25, 1.0}) {
    for (const double cap : {0.5, 1.5, 4.0}) {
      std::vector<float> depth(400);
      for (float& d : depth) {
        d = random.chance(0.1) ? kNan
                               : static_cast<float>(random.chance(0.3) ? 6 * random.uniform() : 0);
      }
      const double before = sum(depth);
      const WaterBalance b = block_partly(depth, {0, 400}, step_h, {.cap_mm_h = cap});
      EXPECT_NEAR(b.rained_mm, before, 1e-9);
      EXPECT_NEAR(total(b), before, 1e-6);
      EXPECT_NEAR(b.tipped_mm, sum(depth), 1e-3);
      EXPECT_GT(b.spilled_mm + b.stored_mm, 0);
    }
  }
}

TEST(PartialBlock, NeverLetsThroughMoreThanTheCapAndABucket) {
  std::vector<float> depth(48, 3.0F);
  block_partly(depth, {0, 48}, 0.25, {.cap_mm_h = 1.5});
  for (std::size_t hour = 0; hour < 12; ++hour) {
    double through = 0;
    for (std::size_t i = 4 * hour; i < 4 * hour + 4; ++i) through += static_cast<double>(depth[i]);
    EXPECT_LE(through, 1.5 + 0.2 + 1e-6);
  }
}

// By hand: 60 mm in one step of 5 minutes, 50 mm held, cap 1 mm/h: 1/12 mm runs out before the
// rest over the rim spills: 60 - 1/12 - 50.
TEST(PartialBlock, SpillsWhatTheFunnelCannotHold) {
  std::vector<float> depth{60.0F, 0};
  const WaterBalance b = block_partly(depth, {0, 1}, 1.0 / 12, {.cap_mm_h = 1, .store_mm = 50});
  EXPECT_NEAR(b.spilled_mm, 60 - 1.0 / 12 - 50, 1e-9);
  EXPECT_NEAR(b.stored_mm, 50, 1e-9);
}

// Below the cap a linear store empties exponentially: after t hours exp(-t / drain) is left.
TEST(PartialBlock, DrainsExponentiallyBelowTheCap) {
  std::vector<float> depth(24, 0);
  depth[0] = 1;
  const WaterBalance b = block_partly(depth, {0, 24}, 1.0 / 12, {.cap_mm_h = 100, .drain_h = 1});
  EXPECT_NEAR(b.stored_mm, std::exp(-2.0), 1e-9);
}

TEST(PartialBlock, LeavesWhatIsMissingMissing) {
  std::vector<float> depth{5, kNan, 0, 0.4F};
  block_partly(depth, {0, 3}, 0.25, {});
  EXPECT_TRUE(std::isnan(depth[1]));
  EXPECT_EQ(depth[3], 0.4F);
}

}  // namespace
}  // namespace gaugeloom
