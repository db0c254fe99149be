#include "gaugeloom/rehearse/stored_zeros.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(StoredZeros, HideWhatIsMissingToo) {
  std::vector<float> depth{0.2F, kNan, 1.0F, 0.6F};
  store_zeros(depth, {1, 3});
  EXPECT_EQ(depth, (std::vector<float>{0.2F, 0, 0, 0.6F}));
}

}  // namespace
}  // namespace gaugeloom
