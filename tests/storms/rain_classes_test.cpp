#include "gaugeloom/storms/rain_classes.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

using Bounds = std::vector<double>;

TEST(RainClasses, TakesTheSmallestRoundStepThatFits) {
  EXPECT_EQ(class_bounds_mm(18.2, 54.6), (Bounds{15, 20, 25, 30, 35, 40, 45, 50, 55}));
  EXPECT_EQ(class_bounds_mm(0, 3.2), (Bounds{0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5}));
  EXPECT_EQ(class_bounds_mm(10, 21), (Bounds{10, 12, 14, 16, 18, 20, 22}));
  EXPECT_EQ(class_bounds_mm(101, 297),
            (Bounds{100, 120, 140, 160, 180, 200, 220, 240, 260, 280, 300}));
  EXPECT_EQ(class_bounds_mm(0, 900), (Bounds{0, 100, 200, 300, 400, 500, 600, 700, 800, 900}));
  EXPECT_EQ(class_bounds_mm(0, 901, 4), (Bounds{0, 500, 1000}));
}

TEST(RainClasses, MakesOneClassOfAConstantAndNoneOfDrought) {
  EXPECT_EQ(class_bounds_mm(5, 5), (Bounds{5, 5.1}));
  EXPECT_EQ(class_bounds_mm(0, 1e-3), (Bounds{0, 0.1}));
  EXPECT_EQ(class_bounds_mm(0, 0), Bounds{0});
  EXPECT_EQ(class_bounds_mm(3e30, 3e30).size(), 2U);
  EXPECT_LE(class_bounds_mm(0, 1e300).size(), 11U);
}

TEST(RainClasses, HoldsEveryTotalInItsClass) {
  for (double low = 0.01; low < 40; low += 0.37)
    for (double range = 0; range < 5000; range = 1.7 * range + 0.3) {
      const Bounds bounds = class_bounds_mm(low, low + range);
      ASSERT_LE(bounds.front(), low);
      ASSERT_GE(bounds.back(), low + range);
      ASSERT_LE(bounds.size(), 11U);
      ASSERT_EQ(class_of(bounds, low), low >= bounds[1] && bounds.size() > 2 ? 1U : 0U);
      ASSERT_EQ(class_of(bounds, low + range) + 2, bounds.size());
    }
}

TEST(RainClasses, PutsATotalOnABoundIntoTheUpperClass) {
  const Bounds bounds{10, 20, 30, 40};
  EXPECT_EQ(class_of(bounds, 10), 0U);
  EXPECT_EQ(class_of(bounds, 19.99), 0U);
  EXPECT_EQ(class_of(bounds, 20), 1U);
  EXPECT_EQ(class_of(bounds, 40), 2U);
  EXPECT_EQ(class_of(Bounds{0}, 0), 0U);
}

TEST(RainClasses, TellsBoundsApart) {
  EXPECT_EQ(class_decimals(Bounds{0, 0.5}), 1);
  EXPECT_EQ(class_decimals(Bounds{0, 1}), 0);
  EXPECT_EQ(class_decimals(Bounds{0}), 0);
}

}  // namespace
}  // namespace gaugeloom
