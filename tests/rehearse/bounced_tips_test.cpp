#include "gaugeloom/rehearse/bounced_tips.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

TEST(BouncedTips, CountAShareOfTipsTwice) {
  std::vector<float> depth(10000, 0.4F);  // two tips each
  const double added = bounce_tips(depth, {0, depth.size()}, 0.3, 0.2, 7);
  EXPECT_NEAR(added / 4000, 0.3, 0.01);  // of 20000 tips: strays by 0.0032
  double sum = 0;
  for (const float mm : depth) {
    const double tips = static_cast<double>(mm) / 0.2;
    EXPECT_NEAR(tips, std::round(tips), 1e-5);
    EXPECT_TRUE(mm >= 0.4F && mm < 0.81F);
    sum += static_cast<double>(mm);
  }
  EXPECT_NEAR(sum, 4000 + added, 0.01);  // floats
}

TEST(BouncedTips, LeaveTheRestAsItIs) {
  std::vector<float> depth{0.2F, 0, kNan, 0.5F, 0.2F};
  EXPECT_NEAR(bounce_tips(depth, {1, 4}, 1, 0.2, 7), 0.4, 1e-12);
  EXPECT_EQ(depth[0], 0.2F);
  EXPECT_EQ(depth[1], 0);
  EXPECT_TRUE(std::isnan(depth[2]));
  EXPECT_FLOAT_EQ(depth[3], 0.9F);  // two tips and a rest
  EXPECT_EQ(depth[4], 0.2F);
}

TEST(BouncedTips, ComeAgainWithTheirSeed) {
  const std::vector<float> truth(200, 1);
  std::vector<float> one = truth;
  std::vector<float> again = truth;
  std::vector<float> other = truth;
  bounce_tips(one, {0, 200}, 0.3, 0.2, 7);
  bounce_tips(again, {0, 200}, 0.3, 0.2, 7);
  bounce_tips(other, {0, 200}, 0.3, 0.2, 8);
  EXPECT_EQ(one, again);
  EXPECT_NE(one, other);
}

}  // namespace
}  // namespace gaugeloom
