#include "checks/intensity_slope_internal.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(IntensitySlope, IsThatOfAStraightLine) {
  const std::vector<double> x = {0, 1, 2, 4};
  std::vector<RatioPoint> points;
  for (std::size_t i = 0; i < x.size(); ++i)
    points.push_back({static_cast<double>(i), 0, 0.3 - 0.2 * x[i], i == 3 ? 1.0 : 4.0});
  const IntensitySlope slope = intensity_slope(points, x);
  EXPECT_NEAR(slope.slope, -0.2, 1e-12);
  // Sum of w (x - mean)^2 by hand: w 13, mean 16/13, sum of w x^2 36.
  EXPECT_NEAR(slope.error, 1 / std::sqrt(36 - 16.0 * 16.0 / 13), 1e-12);
}

TEST(IntensitySlope, HasNoEndOfErrorWhereAllIsAlike) {
  const std::vector<RatioPoint> points(3);
  EXPECT_TRUE(std::isinf(intensity_slope(points, std::vector<double>(3, 1.0)).error));
  EXPECT_TRUE(std::isinf(intensity_slope({}, {}).error));
}

}  // namespace
}  // namespace gaugeloom
