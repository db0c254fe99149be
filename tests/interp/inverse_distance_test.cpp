#include "gaugeloom/interp/inverse_distance.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const std::vector<MetricPoint> kGauges = {{0, 0}, {3000, 0}, {0, 6000}};
const std::vector<double> kDepths = {1, 4, 10};
const std::vector<MetricPoint> kTarget = {{1000, 0}};

TEST(InverseDistance, WeighsByThePowerOfDistance) {
  const auto e = inverse_distance(kGauges, kDepths, kTarget, {.max_neighbours = 2}).at(0);
  EXPECT_NEAR(e.value, (1.0 / 1 + 4.0 / 4) / (1 + 0.25), 1e-14);
  EXPECT_EQ(e.gauges_used, 2);
  const auto plain = inverse_distance(kGauges, kDepths, kTarget, {.power = 0}).at(0);
  EXPECT_NEAR(plain.value, 5, 1e-14);
  const auto odd = inverse_distance(kGauges, kDepths, kTarget, {.power = 1.5, .max_neighbours = 2});
  EXPECT_NEAR(odd.at(0).value, (1 + 4 / std::pow(2, 1.5)) / (1 + 1 / std::pow(2, 1.5)), 1e-13);
}

TEST(InverseDistance, HasNoVariance) {
  const auto e = inverse_distance(kGauges, kDepths, kTarget).at(0);
  EXPECT_EQ(e.status, EstimateStatus::ok);
  EXPECT_TRUE(std::isnan(e.variance));
}

TEST(InverseDistance, TakesTheMeanOfGaugesOnTheSpot) {
  const std::vector<MetricPoint> gauges = {{1000, 0}, {1000, 0}, {2000, 0}};
  EXPECT_EQ(inverse_distance(gauges, kDepths, kTarget).at(0).value, 2.5);
  EXPECT_EQ(inverse_distance(gauges, kDepths, kTarget, {.max_neighbours = 1}).at(0).value, 1);
  EXPECT_EQ(inverse_distance(gauges, kDepths, kTarget, {.power = 0}).at(0).value, 2.5);
}

TEST(InverseDistance, SaysThereAreNoGauges) {
  const auto e = inverse_distance({}, {}, kTarget).at(0);
  EXPECT_EQ(e.status, EstimateStatus::no_gauges);
  EXPECT_TRUE(std::isnan(e.value));
}

TEST(InverseDistance, SurvivesTinyAndHugeDistances) {
  const std::vector<MetricPoint> gauges = {{1000 + 1e-12, 0}, {1e12, 0}, {-1e12, 5}};
  for (const double power : {0.5, 2.0, 100.0}) {
    const auto e = inverse_distance(gauges, kDepths, kTarget, {.power = power}).at(0);
    EXPECT_NEAR(e.value, 1, 1e-4);
  }
}

TEST(InverseDistance, RefusesImpossibleOptions) {
  for (const double power : {-1.0, 101.0, std::nan("")})
    EXPECT_THROW(inverse_distance(kGauges, kDepths, kTarget, {.power = power}), Error);
  EXPECT_THROW(inverse_distance(kGauges, kDepths, kTarget, {.max_neighbours = -2}), Error);
}

}  // namespace
}  // namespace gaugeloom
