#include "gaugeloom/interp/ordinary_kriging.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

const Variogram kExponential{.partial_sill = 2, .range_m = 10000};
const Variogram kWithNugget{.nugget = 0.5, .partial_sill = 1.5, .range_m = 10000};
const std::vector<MetricPoint> kTriangle = {{0, 0}, {8000, 1000}, {3000, 7000}};
const std::vector<double> kDepths = {1, 5, 2.5};

TEST(OrdinaryKriging, HalvesTheWeightBetweenTwoGauges) {
  const std::vector<MetricPoint> pair = {{0, 0}, {4000, 0}};
  const auto w = kriging_weights(pair, {}, {2000, 0}, kExponential);
  ASSERT_EQ(w.status, EstimateStatus::ok);
  EXPECT_NEAR(w.weights[0], 0.5, 1e-14);
  // By hand: 2 w'c - w'Cw with w = 1/2, in terms of gamma: 2 gamma(2 km) - gamma(4 km) / 2.
  EXPECT_NEAR(w.variance, 2 * kExponential.gamma(2000) - 0.5 * kExponential.gamma(4000), 1e-14);
}

TEST(OrdinaryKriging, GivesOneGaugeAllTheWeight) {
  const std::vector<MetricPoint> one = {{0, 0}};
  const auto w = kriging_weights(one, {}, {3000, 4000}, kWithNugget);
  EXPECT_DOUBLE_EQ(w.weights.at(0), 1);
  EXPECT_NEAR(w.variance, 2 * kWithNugget.gamma(5000), 1e-14);
}

TEST(OrdinaryKriging, SaysThereAreNoGauges) {
  const std::vector<MetricPoint> target = {{0, 0}};
  const auto estimates = ordinary_kriging({}, {}, {}, target, kExponential);
  EXPECT_EQ(estimates.at(0).status, EstimateStatus::no_gauges);
  EXPECT_TRUE(std::isnan(estimates[0].value));
  EXPECT_TRUE(std::isnan(estimates[0].variance));
  EXPECT_EQ(estimates[0].gauges_used, 0);
}

TEST(OrdinaryKriging, ReportsSingularSystemForCoLocatedGauges) {
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}, {5000, 0}};
  const std::vector<MetricPoint> target = {{1000, 1000}};
  const auto estimates = ordinary_kriging(twins, kDepths, {}, target, kExponential);
  EXPECT_EQ(estimates.at(0).status, EstimateStatus::singular_system);
  EXPECT_TRUE(std::isnan(estimates[0].value));
  EXPECT_TRUE(std::isnan(estimates[0].variance));
}

TEST(OrdinaryKriging, ReportsSingularSystemForGaugesTooNearToTellApart) {
  const std::vector<MetricPoint> twins = {{0, 0}, {1e-9, 0}, {5000, 0}};
  EXPECT_EQ(kriging_weights(twins, {}, {1000, 0}, kExponential).status,
            EstimateStatus::singular_system);
}

TEST(OrdinaryKriging, SharesTheWeightOfCoLocatedGaugesUnderANugget) {
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}, {5000, 0}};
  const auto w = kriging_weights(twins, {}, {1000, 1000}, kWithNugget);
  ASSERT_EQ(w.status, EstimateStatus::ok);
  EXPECT_NEAR(w.weights[0], w.weights[1], 1e-14);
  EXPECT_GT(w.weights[0], w.weights[2]);
}

TEST(OrdinaryKriging, SeesANewObservationBesideCoLocatedGauges) {
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}, {50000, 0}};
  const auto w = kriging_weights(twins, {}, {0, 0}, kWithNugget, {.max_neighbours = 2});
  ASSERT_EQ(w.status, EstimateStatus::ok);
  EXPECT_NEAR(w.weights[0], 0.5, 1e-14);
  EXPECT_NEAR(w.variance, 1.5 * kWithNugget.nugget, 1e-14);  // its own and half of theirs
}

TEST(OrdinaryKriging, SolvesCoLocatedGaugesWithMeasurementVariances) {
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}};
  const std::vector<double> noise = {0.1, 0.3};
  const auto w = kriging_weights(twins, noise, {2000, 0}, kExponential);
  ASSERT_EQ(w.status, EstimateStatus::ok);
  EXPECT_NEAR(w.weights[0], 0.75, 1e-12);  // in inverse proportion to the noise
}

TEST(OrdinaryKriging, SmoothsAGaugeWithMeasurementVariance) {
  const std::vector<double> noise = {0.4, 0.4, 0.4};
  const auto w = kriging_weights(kTriangle, noise, kTriangle[0], kExponential);
  ASSERT_EQ(w.status, EstimateStatus::ok);
  EXPECT_LT(w.weights[0], 0.99);
  EXPECT_GT(w.variance, 0.05);
}

TEST(OrdinaryKriging, TakesTheNearestGaugesAndOfEqualOnesTheLowerIndex) {
  const std::vector<MetricPoint> gauges = {{9000, 0}, {0, 2000}, {2000, 0}, {-2000, 0}, {0, -500}};
  const auto w = kriging_weights(gauges, {}, {0, 0}, kExponential, {.max_neighbours = 3});
  EXPECT_EQ(w.gauges, (std::vector<std::size_t>{1, 2, 4}));
}

TEST(OrdinaryKriging, DropsNegativeWeightsAndRecomputesTheVariance) {
  const Variogram smooth{
      .shape = VariogramShape::gaussian, .nugget = 0.01, .partial_sill = 0.99, .range_m = 9000};
  const std::vector<MetricPoint> line = {{1000, 0}, {4000, 0}, {7000, 500}};
  const auto kept = kriging_weights(line, {}, {0, 0}, smooth);
  const auto dropped =
      kriging_weights(line, {}, {0, 0}, smooth, {.negative_weights = NegativeWeights::drop});
  ASSERT_LT(*std::min_element(kept.weights.begin(), kept.weights.end()), 0);
  double sum = 0, expected = smooth.sill();
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(dropped.weights[i] == 0, kept.weights[i] < 0);
    sum += dropped.weights[i];
    expected -= 2 * dropped.weights[i] * smooth.covariance(distance_m(line[i], {0, 0}));
    for (std::size_t j = 0; j < 3; ++j)
      expected +=
          dropped.weights[i] * dropped.weights[j] * smooth.covariance(distance_m(line[i], line[j]));
  }
  EXPECT_NEAR(sum, 1, 1e-14);
  EXPECT_NEAR(dropped.variance, expected, 1e-13);
  EXPECT_GT(dropped.variance, kept.variance);
}

TEST(OrdinaryKriging, RefusesImpossibleOptions) {
  EXPECT_THROW(kriging_weights(kTriangle, {}, {0, 0}, kExponential, {.max_neighbours = -1}), Error);
  Variogram broken = kExponential;
  broken.range_m = 0;
  EXPECT_THROW(ordinary_kriging(kTriangle, kDepths, {}, kTriangle, broken), Error);
}

}  // namespace
}  // namespace gaugeloom
