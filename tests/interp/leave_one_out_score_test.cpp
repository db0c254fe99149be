#include "gaugeloom/interp/leave_one_out_score.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

TEST(LeaveOneOutScore, AddsUpErrorsWhereBothAreThere) {
  const std::vector<float> values = {1, 2, kMissing, 4, 5, 6};
  const FieldRecord record{values, 2, 3};
  LeaveOneOutSums sums;
  sums.add(record, 0, {2, 2, {3, 1, 4, kNaN}, {}, {}});  // errors 2, -1, 0
  sums.add(record, 2, {2, 1, {9, 9}, {}, {}});           // missing, error 3
  const LeaveOneOutScore score = sums.score();
  EXPECT_EQ(score.values, 4U);
  EXPECT_DOUBLE_EQ(score.root_mean_square_error, std::sqrt((4.0 + 1 + 0 + 9) / 4));
  EXPECT_DOUBLE_EQ(score.mean_absolute_error, 1.5);
  EXPECT_DOUBLE_EQ(score.mean_error, 1.0);
}

TEST(LeaveOneOutScore, IsNothingWithoutValues) {
  EXPECT_EQ(LeaveOneOutSums{}.score().values, 0U);
  EXPECT_EQ(LeaveOneOutSums{}.score().mean_error, 0.0);
}

}  // namespace
}  // namespace gaugeloom
