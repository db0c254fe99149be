#include "gaugeloom/interp/leave_one_out.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const double kMissing = std::numeric_limits<double>::quiet_NaN();
const Variogram kModel{.nugget = 0.2, .partial_sill = 0.8, .range_m = 20000};
const std::vector<MetricPoint> kGauges = {{0, 0}, {7000, 0}, {0, 9000}, {8000, 8000}, {3000, 4000}};

TEST(LeaveOneOut, EstimatesAMissingGaugeAndNeverUsesIt) {
  const std::vector<double> depths = {1, 2, kMissing, 4, 5};
  const auto estimates = leave_one_out_kriging(kGauges, depths, {}, kModel);
  const auto weighted = leave_one_out_inverse_distance(kGauges, depths);
  for (std::size_t i = 0; i < depths.size(); ++i) {
    EXPECT_EQ(estimates[i].status, EstimateStatus::ok);
    EXPECT_EQ(estimates[i].gauges_used, i == 2 ? 4 : 3);
    EXPECT_TRUE(std::isfinite(estimates[i].value));
    EXPECT_EQ(weighted[i].gauges_used, i == 2 ? 4 : 3);
    EXPECT_TRUE(std::isfinite(weighted[i].value));
  }
}

TEST(LeaveOneOut, SaysThereIsNobodyElse) {
  const std::vector<MetricPoint> one = {{0, 0}};
  const std::vector<double> depth = {3};
  EXPECT_EQ(leave_one_out_kriging(one, depth, {}, kModel).at(0).status, EstimateStatus::no_gauges);
  EXPECT_EQ(leave_one_out_kriging_closed_form(one, depth, {}, kModel).at(0).status,
            EstimateStatus::no_gauges);
  EXPECT_EQ(leave_one_out_inverse_distance(one, depth).at(0).status, EstimateStatus::no_gauges);
  const std::vector<double> missing = {kMissing};
  EXPECT_EQ(leave_one_out_kriging_closed_form(one, missing, {}, kModel).at(0).status,
            EstimateStatus::no_gauges);
}

TEST(LeaveOneOut, NeverMakesATwinCertain) {
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}, {9000, 0}};
  const std::vector<double> depths = {1, 2, 6};
  const auto e = leave_one_out_kriging(twins, depths, {}, kModel).at(0);
  ASSERT_EQ(e.status, EstimateStatus::ok);
  EXPECT_GT(e.variance, kModel.nugget);  // two readings differ by their nuggets
  EXPECT_NE(e.value, 2);
}

TEST(LeaveOneOut, AddsItsOwnMeasurementVariance) {
  const std::vector<double> depths = {1, 2, 3, 4, 5}, none(5, 0.0), own = {0.5, 0, 0, 0, 0};
  const auto without = leave_one_out_kriging(kGauges, depths, none, kModel);
  const auto with = leave_one_out_kriging(kGauges, depths, own, kModel);
  EXPECT_NEAR(with[0].variance, without[0].variance + 0.5, 1e-13);
  EXPECT_NEAR(with[0].value, without[0].value, 1e-13);
}

TEST(LeaveOneOut, SingularOnlyWhereTwoTwinsAreNeighbours) {
  const Variogram no_nugget{.range_m = 20000};
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}, {9000, 0}};
  const std::vector<double> depths = {1, 2, 6};
  for (const auto& e : {leave_one_out_kriging(twins, depths, {}, no_nugget),
                        leave_one_out_kriging_closed_form(twins, depths, {}, no_nugget)}) {
    EXPECT_EQ(e[0].status, EstimateStatus::ok);
    EXPECT_EQ(e[1].status, EstimateStatus::ok);
    EXPECT_EQ(e[2].status, EstimateStatus::singular_system);
    EXPECT_TRUE(std::isnan(e[2].value));
  }
}

TEST(LeaveOneOut, RefusesImpossibleOptions) {
  const std::vector<double> depths = {1, 2, 3, 4, 5};
  EXPECT_THROW(leave_one_out_kriging(kGauges, depths, {}, kModel, {.max_neighbours = -1}), Error);
  EXPECT_THROW(leave_one_out_kriging_closed_form(kGauges, depths, {}, {.nugget = -1}), Error);
  EXPECT_THROW(leave_one_out_inverse_distance(kGauges, depths, {.power = -1}), Error);
}

}  // namespace
}  // namespace gaugeloom
