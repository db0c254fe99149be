#include "gaugeloom/interp/normal_ratio.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const std::vector<double> kNormals = {800, 1000, 1600};

TEST(NormalRatio, GivesTheTargetTheShareItsNeighboursRead) {
  const std::vector<double> depths = {8, 10, 16};  // a hundredth each
  EXPECT_NEAR(normal_ratio(900, kNormals, depths), 9, 1e-14);
}

TEST(NormalRatio, LeavesMissingNeighboursOut) {
  const double missing = std::numeric_limits<double>::quiet_NaN();
  const std::vector<double> depths = {missing, 10, missing}, none(3, missing);
  EXPECT_NEAR(normal_ratio(900, kNormals, depths), 9, 1e-14);
  EXPECT_TRUE(std::isnan(normal_ratio(900, kNormals, none)));
}

TEST(NormalRatio, PublishesItsWeights) {
  const auto weights = normal_ratio_weights(800, kNormals);
  EXPECT_DOUBLE_EQ(weights[0], 1.0 / 3);
  EXPECT_DOUBLE_EQ(weights[1], 0.8 / 3);
  EXPECT_DOUBLE_EQ(weights[2], 0.5 / 3);
}

TEST(NormalRatio, RefusesNormalsThatAreNotAboveZero) {
  EXPECT_THROW(normal_ratio_weights(0, kNormals), Error);
  EXPECT_THROW(normal_ratio_weights(std::nan(""), kNormals), Error);
  const std::vector<double> zero = {800, 0};
  EXPECT_THROW(normal_ratio_weights(800, zero), Error);
}

TEST(NormalRatio, KnowsWhenAPlainMeanWillDo) {
  const std::vector<double> alike = {95, 105, 110}, apart = {95, 111};
  EXPECT_TRUE(normals_alike(100, alike));
  EXPECT_FALSE(normals_alike(100, apart));
  EXPECT_TRUE(normals_alike(100, apart, 0.2));
}

}  // namespace
}  // namespace gaugeloom
