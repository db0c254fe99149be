#include "gaugeloom/expect/residual_shape.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

TEST(ResidualShape, HoldsThePointsOfANormalLaw) {
  const ResidualShape normal = broad_shape(2);
  // Source: any table of the normal law.
  EXPECT_NEAR(normal.quantile(0.5), 0, 1e-12);
  EXPECT_NEAR(normal.quantile(0.95), 2 * 1.644854, 1e-4);
  EXPECT_NEAR(normal.quantile(0.25), -2 * 0.674490, 1e-4);
  EXPECT_NEAR(normal.quantile(0.99), 2 * 2.326, 0.06);  // the tail is exponential, not normal
}

TEST(ResidualShape, InvertsItself) {
  const ResidualShape shape = broad_shape(1);
  for (const double p : {1e-7, 0.001, 0.04, 0.05, 0.051, 0.3, 0.5, 0.77, 0.95, 0.96, 0.9999}) {
    EXPECT_NEAR(shape.below(shape.quantile(p)), p, 1e-9);
    EXPECT_NEAR(shape.below(shape.quantile(p)) + shape.above(shape.quantile(p)), 1, 1e-12);
  }
  EXPECT_NEAR(shape.above(shape.quantile(1e-7)), 1, 1e-6);
  EXPECT_NEAR(shape.above(20) / (0.05 * std::exp((1.64485 - 20) / 0.41786)), 1, 1e-9);
}

TEST(ResidualShape, LearnsASampleAndFallsBackToThePrior) {
  Random random("LearnsASampleAndFallsBackToThePrior");
  std::vector<double> sample;
  for (int i = 0; i < 20000; ++i) sample.push_back(5 + random.exponential(1));
  std::sort(sample.begin(), sample.end());
  const ResidualShape learned = learned_shape(sample, broad_shape(1), 40);
  EXPECT_NEAR(learned.quantile(0.5), 5 + std::log(2), 0.03);  // 3 standard errors
  EXPECT_NEAR(learned.high_excess, 1, 0.1);                   // 1000 values in the tail
  EXPECT_EQ(learned_shape({}, broad_shape(3), 40).points, broad_shape(3).points);
  const std::vector<double> few = {100, 100, 100, 100};
  EXPECT_NEAR(learned_shape(few, broad_shape(1), 36).points[9], 10, 1e-9);
}

TEST(ResidualShape, StandsTies) {
  const std::vector<double> same(500, 0.25);
  const ResidualShape shape = learned_shape(same, broad_shape(1), 1e-9);
  EXPECT_GE(shape.below(0.25), 0.05);
  EXPECT_LT(shape.below(0.2), 0.05);
  EXPECT_GT(shape.below(0.3), 0.95);
}

}  // namespace
}  // namespace gaugeloom
