#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

const std::vector<Variogram> kModels = {
    {.shape = VariogramShape::spherical, .nugget = 0, .partial_sill = 3, .range_m = 40000},
    {.shape = VariogramShape::exponential, .nugget = 0.3, .partial_sill = 1, .range_m = 15000},
    {.shape = VariogramShape::gaussian, .nugget = 0.1, .partial_sill = 1, .range_m = 20000},
    {.shape = VariogramShape::matern, .partial_sill = 1, .range_m = 9000, .smoothness = 1.2},
    {.nugget = 2, .partial_sill = 0}};

std::vector<double> random_depths(std::string_view name, std::size_t count) {
  Random random(name);
  std::vector<double> depths(count);
  for (double& depth : depths) depth = random.exponential(6);
  return depths;
}

class OrdinaryKrigingLaw : public testing::TestWithParam<int> {
 protected:
  support::RandomNetwork net = support::random_network("OrdinaryKrigingLaw", GetParam());
  std::vector<double> depths = random_depths("OrdinaryKrigingLawDepths", net.gauges.size());
};

TEST_P(OrdinaryKrigingLaw, KeepsAConstantField) {
  const std::vector<double> same(net.gauges.size(), 7.25);
  for (const Variogram& model : kModels)
    for (const auto negative : {NegativeWeights::keep, NegativeWeights::drop})
      for (const Estimate& e : ordinary_kriging(net.gauges, same, {}, net.targets, model,
                                                {.negative_weights = negative})) {
        ASSERT_EQ(e.status, EstimateStatus::ok);
        EXPECT_NEAR(e.value, 7.25, 1e-9);
      }
}

TEST_P(OrdinaryKrigingLaw, IsExactAtAGauge) {
  for (const Variogram& model : kModels) {
    const auto estimates = ordinary_kriging(net.gauges, depths, {}, net.gauges, model);
    for (std::size_t i = 0; i < depths.size(); ++i) {
      EXPECT_EQ(estimates[i].value, depths[i]);
      EXPECT_EQ(estimates[i].variance, 0);
    }
  }
}

TEST_P(OrdinaryKrigingLaw, DoesNotDependOnTheOrderOfTheGauges) {
  std::vector<MetricPoint> turned(net.gauges.rbegin(), net.gauges.rend());
  const std::vector<double> turned_depths(depths.rbegin(), depths.rend());
  for (const Variogram& model : kModels) {
    // A pure nugget has no preferred neighbours, but the nearest are the same set all the same.
    const auto a = ordinary_kriging(net.gauges, depths, {}, net.targets, model);
    const auto b = ordinary_kriging(turned, turned_depths, {}, net.targets, model);
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_NEAR(a[i].value, b[i].value, 1e-8);
      EXPECT_NEAR(a[i].variance, b[i].variance, 1e-9);
    }
  }
}

TEST_P(OrdinaryKrigingLaw, IsLinearAndItsVarianceKnowsNoValues) {
  std::vector<double> other = random_depths("other", depths.size()), mixed(depths.size());
  for (std::size_t i = 0; i < mixed.size(); ++i) mixed[i] = 2 * depths[i] - 0.5 * other[i];
  for (const Variogram& model : kModels) {
    const auto a = ordinary_kriging(net.gauges, depths, {}, net.targets, model);
    const auto b = ordinary_kriging(net.gauges, other, {}, net.targets, model);
    const auto m = ordinary_kriging(net.gauges, mixed, {}, net.targets, model);
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_NEAR(m[i].value, 2 * a[i].value - 0.5 * b[i].value, 1e-9);
      EXPECT_EQ(m[i].variance, a[i].variance);
    }
  }
}

TEST_P(OrdinaryKrigingLaw, ScalesTheVarianceWithTheSill) {
  const std::vector<double> noise(depths.size(), 0.2), noise4(depths.size(), 0.8);
  for (const Variogram& model : kModels) {
    Variogram four = model;
    four.nugget *= 4;
    four.partial_sill *= 4;
    const auto a = ordinary_kriging(net.gauges, depths, noise, net.targets, model);
    const auto b = ordinary_kriging(net.gauges, depths, noise4, net.targets, four);
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_NEAR(b[i].value, a[i].value, 1e-9);
      EXPECT_NEAR(b[i].variance, 4 * a[i].variance, 1e-9);
    }
  }
}

TEST_P(OrdinaryKrigingLaw, DoesNotCareWhereThePlaneLies) {
  const auto moved = [](const std::vector<MetricPoint>& points) {
    std::vector<MetricPoint> result;  // turned by the angle whose cosine is 0.6
    for (const MetricPoint& p : points)
      result.push_back({0.6 * p.x_m - 0.8 * p.y_m + 123456, 0.8 * p.x_m + 0.6 * p.y_m - 98765});
    return result;
  };
  for (const Variogram& model : kModels) {
    const auto a = ordinary_kriging(net.gauges, depths, {}, net.targets, model);
    const auto b = ordinary_kriging(moved(net.gauges), depths, {}, moved(net.targets), model);
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_NEAR(b[i].value, a[i].value, 1e-6);
      EXPECT_NEAR(b[i].variance, a[i].variance, 1e-8);
    }
  }
}

TEST_P(OrdinaryKrigingLaw, NeverLosesByAFurtherNeighbour) {
  for (const Variogram& model : kModels) {
    std::vector<double> before(net.targets.size(), 1e300);
    for (const int count : {1, 2, 3, 5, 9, 16}) {
      const auto estimates =
          ordinary_kriging(net.gauges, depths, {}, net.targets, model, {.max_neighbours = count});
      for (std::size_t i = 0; i < estimates.size(); ++i) {
        EXPECT_LE(estimates[i].variance, before[i] * (1 + 1e-9) + 1e-12);
        before[i] = estimates[i].variance;
      }
    }
  }
}

TEST_P(OrdinaryKrigingLaw, AppliesTheWeightsItPublishes) {
  for (const Variogram& model : kModels)
    for (const int count : {0, 5}) {
      const KrigingOptions options{.max_neighbours = count,
                                   .negative_weights = NegativeWeights::drop};
      const auto estimates = ordinary_kriging(net.gauges, depths, {}, net.targets, model, options);
      for (std::size_t t = 0; t < estimates.size(); ++t) {
        const auto w = kriging_weights(net.gauges, {}, net.targets[t], model, options);
        double value = 0, sum = 0;
        for (std::size_t i = 0; i < w.weights.size(); ++i) {
          value += w.weights[i] * depths[w.gauges[i]];
          sum += w.weights[i];
        }
        EXPECT_EQ(value, estimates[t].value);
        EXPECT_EQ(w.variance, estimates[t].variance);
        EXPECT_NEAR(sum, 1, 1e-12);
      }
    }
}

INSTANTIATE_TEST_SUITE_P(Gauges, OrdinaryKrigingLaw, testing::Values(1, 2, 7, 40));

}  // namespace
}  // namespace gaugeloom
