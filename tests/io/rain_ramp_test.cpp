#include "gaugeloom/io/rain_ramp.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace gaugeloom {
namespace {

double apart(const OkLab& a, const OkLab& b) {
  return std::hypot(a.lightness - b.lightness, a.a - b.a, a.b - b.b);
}

TEST(RainRamp, ConvertsKnownColours) {
  // Of the source's table of test pairs and its definition, from memory: white is (1, 0, 0); the
  // red of sRGB is (0.6280, 0.2249, 0.1258), the blue (0.4520, -0.0325, -0.3115).
  const auto is = [](const Rgb& colour, double lightness, double a, double b) {
    const OkLab got = oklab(colour);
    EXPECT_NEAR(got.lightness, lightness, 1e-4);
    EXPECT_NEAR(got.a, a, 1e-4);
    EXPECT_NEAR(got.b, b, 1e-4);
  };
  is({255, 255, 255}, 1, 0, 0);
  is({0, 0, 0}, 0, 0, 0);
  is({255, 0, 0}, 0.6280, 0.2249, 0.1258);
  is({0, 0, 255}, 0.4520, -0.0325, -0.3115);
}

TEST(RainRamp, ConvertsThereAndBack) {
  for (int red = 0; red < 256; red += 15)
    for (int green = 0; green < 256; green += 15)
      for (int blue = 0; blue < 256; blue += 15) {
        const Rgb colour{static_cast<std::uint8_t>(red), static_cast<std::uint8_t>(green),
                         static_cast<std::uint8_t>(blue)};
        ASSERT_EQ(rgb(oklab(colour)), colour) << red << ' ' << green << ' ' << blue;
      }
}

TEST(RainRamp, FallsEvenlyInLightness) {
  // A channel of 8 bits is up to 0.004 of lightness; nothing is clipped, or it would be more.
  for (int i = 0; i <= 200; ++i)
    EXPECT_NEAR(oklab(rain_colour(i / 200.0)).lightness, 0.945 - 0.675 * i / 200.0, 0.004) << i;
  EXPECT_EQ(rain_colour(-1), rain_colour(0));
  EXPECT_EQ(rain_colour(2), rain_colour(1));
}

TEST(RainRamp, TakesStepsThatLookEqual) {
  std::vector<double> steps;
  for (int i = 0; i < 8; ++i)
    steps.push_back(apart(oklab(rain_colour(i / 8.0)), oklab(rain_colour((i + 1) / 8.0))));
  const auto [least, most] = std::minmax_element(steps.begin(), steps.end());
  EXPECT_LT(*most, 1.5 * *least);
  EXPECT_GT(*least, 0.08);
}

// Cones after Smith and Pokorny, as in F. Viénot, H. Brettel, J. D. Mollon, Digital video
// colourmaps for checking the legibility of displays by dichromats, Color Research & Application
// 24, 1999, 243-252, from memory. Eyes without one kind tell colours by the other two.
struct Cones {
  double l, m, s;
};
Cones cones(double r, double g, double b) {
  return {17.8824 * r + 43.5161 * g + 4.11935 * b, 3.45565 * r + 27.1554 * g + 3.86714 * b,
          0.0299566 * r + 0.184309 * g + 1.46709 * b};
}
double light(std::uint8_t channel) { return std::pow(channel / 255.0, 2.2); }

// The answers of the two kinds that are left, each over that of white, as an eye's cube root.
std::array<double, 2> seen_without(int kind, const Rgb& colour) {
  const Cones at = cones(light(colour.red), light(colour.green), light(colour.blue));
  const Cones white = cones(1, 1, 1);
  const std::array<double, 3> all = {std::cbrt(at.l / white.l), std::cbrt(at.m / white.m),
                                     std::cbrt(at.s / white.s)};
  std::vector<double> left;
  for (int i = 0; i < 3; ++i)
    if (i != kind) left.push_back(all[static_cast<std::size_t>(i)]);
  return {left[0], left[1]};
}

TEST(RainRamp, StaysApartForColourBlindEyes) {
  for (int missing = 0; missing < 3; ++missing)
    for (int i = 0; i < 10; ++i)
      for (int j = i + 1; j < 10; ++j) {
        const auto one = seen_without(missing, rain_colour(i / 9.0));
        const auto other = seen_without(missing, rain_colour(j / 9.0));
        EXPECT_GT(std::hypot(one[0] - other[0], one[1] - other[1]), 0.045 * (j - i))
            << "without cone " << missing << ": " << i << " and " << j;
        // More rain is less light for either kind that is left of red and green.
        EXPECT_GT(one[0], other[0]);
      }
}

}  // namespace
}  // namespace gaugeloom
