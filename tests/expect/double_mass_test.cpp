#include "gaugeloom/expect/double_mass.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(DoubleMass, TellsAPointPerStretchOfRainAndTheSumsOfAll) {
  const std::vector<double> own = {1, 0, 0, 4, 2, 0, 1, 0};
  const std::vector<double> neighbours = {2, 0, 1, 4, 6, 0, 1, 0};
  const auto curve = double_mass_curve(own, neighbours, 5);
  ASSERT_EQ(curve.size(), 3U);
  EXPECT_EQ(curve[0].block, 3U);
  EXPECT_EQ(curve[0].own_mm, 5);
  EXPECT_EQ(curve[0].neighbours_mm, 7);
  EXPECT_EQ(curve[1].block, 4U);
  EXPECT_EQ(curve[2].block, 6U);
  EXPECT_EQ(curve[2].own_mm, 8);
  EXPECT_EQ(curve[2].neighbours_mm, 14);
}

TEST(DoubleMass, IsEmptyWithoutRain) {
  const std::vector<double> dry(5, 0.0);
  EXPECT_TRUE(double_mass_curve(dry, dry, 25).empty());
  EXPECT_TRUE(double_mass_curve({}, {}, 25).empty());
}

TEST(DoubleMass, HasNoSlopeWhereTheNeighboursWereDry) {
  EXPECT_DOUBLE_EQ(mass_slope({0, 1, 2}, {1, 4, 8}), 0.5);
  EXPECT_TRUE(std::isnan(mass_slope({0, 1, 2}, {1, 4, 2})));
}

}  // namespace
}  // namespace gaugeloom
