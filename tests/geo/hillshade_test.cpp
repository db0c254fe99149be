#include "gaugeloom/geo/hillshade.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const Grid kSix{0, 600, 100, 100, 6, 6};

// Rises `east` and `north` metres per metre.
std::vector<float> plane(const Grid& grid, double east, double north) {
  std::vector<float> heights;
  for (std::size_t row = 0; row < grid.rows; ++row)
    for (std::size_t column = 0; column < grid.columns; ++column)
      heights.push_back(
          static_cast<float>(500 + east * grid.centre_x_m(column) + north * grid.centre_y_m(row)));
  return heights;
}

TEST(Hillshade, LightsFlatGroundBySineOfTheHeightOfTheLight) {
  for (const float shade : hillshade(kSix, plane(kSix, 0, 0)))
    EXPECT_NEAR(shade, std::sqrt(0.5), 1e-6);
}

TEST(Hillshade, LightsAPlaneEquallyUpToItsEdges) {
  // By hand: the ground falls towards the north-west by p = 0.3, q = -0.3, so its normal is
  // (-0.3, 0.3, 1) / sqrt(1.18), and (0.15 + 0.15 + 0.70710678) / sqrt(1.18) = 0.927119.
  for (const float shade : hillshade(kSix, plane(kSix, 0.3, -0.3)))
    EXPECT_NEAR(shade, 0.927119, 1e-5);
  // Rising to the north-west as steeply as the light stands high: grazed. 0.5 (p, q) of slope 1.
  const double half = std::sqrt(0.5);
  for (const float shade : hillshade(kSix, plane(kSix, -half, half))) EXPECT_NEAR(shade, 0, 1e-4);
  for (const float shade : hillshade(kSix, plane(kSix, -2, 2))) EXPECT_EQ(shade, 0);
}

TEST(Hillshade, WeighsTheEightAroundOneTwoOne) {
  // By hand: with 10 m cells and the heights 1 2 3 / 4 0 6 / 7 8 12, the rise to the east is
  // (3 + 12 + 12 - 1 - 8 - 7) / 80 = 11 / 80 and to the north (1 + 4 + 3 - 7 - 16 - 12) / 80
  // = -27 / 80; the height of the cell itself does not count.
  const Grid nine{0, 30, 10, 10, 3, 3};
  const std::vector<float> heights = {1, 2, 3, 4, 0, 6, 7, 8, 12};
  const double p = 11.0 / 80, q = -27.0 / 80;
  const double want = (0.5 * p - 0.5 * q + std::sqrt(0.5)) / std::sqrt(p * p + q * q + 1);
  EXPECT_NEAR(hillshade(nine, heights)[4], want, 1e-6);
}

TEST(Hillshade, ExaggeratesAndTurnsTheLight) {
  HillshadeOptions options{{0, 0, 3}, 2};
  for (const float shade : hillshade(kSix, plane(kSix, 0.5, 0), options))
    EXPECT_NEAR(shade, std::sqrt(0.5), 1e-6);  // straight down on a slope of 1
  options.light = {1, 0, 1};
  for (const float shade : hillshade(kSix, plane(kSix, -0.5, 0), options))
    EXPECT_NEAR(shade, 1, 1e-6);
}

TEST(Hillshade, IsEmptyWhereTheHeightIsUnknownAndGoesOnBesideIt) {
  auto heights = plane(kSix, 0.3, -0.3);
  heights[14] = std::numeric_limits<float>::quiet_NaN();
  const auto shade = hillshade(kSix, heights);
  for (std::size_t i = 0; i < shade.size(); ++i)
    if (i == 14)
      EXPECT_TRUE(std::isnan(shade[i]));
    else
      EXPECT_NEAR(shade[i], 0.927119, 1e-5) << i;
}

TEST(Hillshade, IsTheSameForAnyNumberOfThreads) {
  const Grid grid{0, 0, 30, 50, 70, 90};
  std::vector<float> heights;
  for (std::size_t i = 0; i < grid.cell_count(); ++i)
    heights.push_back(static_cast<float>((i * i) % 997));
  EXPECT_EQ(hillshade(grid, heights, {}, 1), hillshade(grid, heights, {}, 5));
}

TEST(Hillshade, RefusesNoLightAndNoHeight) {
  const auto flat = plane(kSix, 0, 0);
  EXPECT_THROW(hillshade(kSix, flat, {{0, 0, 0}, 1}), Error);
  EXPECT_THROW(hillshade(kSix, flat, {{}, 0}), Error);
  EXPECT_THROW(hillshade(kSix, flat, {{}, std::nan("")}), Error);
}

TEST(Hillshade, ExaggeratesUntilItTells) {
  EXPECT_NEAR(telling_exaggeration(kSix, plane(kSix, 0.03, 0.04)), 12, 1e-3);  // slope 0.05
  EXPECT_NEAR(telling_exaggeration(kSix, plane(kSix, 1.2, 0)), 0.5, 1e-4);
  EXPECT_EQ(telling_exaggeration(kSix, plane(kSix, 0, 0)), 1);
  EXPECT_EQ(telling_exaggeration(kSix, plane(kSix, 1e-3, 0)), 50);
  EXPECT_EQ(telling_exaggeration(kSix, std::vector<float>(36, std::nanf(""))), 1);
}

}  // namespace
}  // namespace gaugeloom
