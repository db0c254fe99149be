#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

class InverseDistanceLaw : public testing::TestWithParam<InverseDistanceOptions> {
 protected:
  InverseDistanceLaw() {
    Random random("InverseDistanceLawDepths");
    for (std::size_t i = 0; i < net.gauges.size(); ++i) depths.push_back(random.exponential(5));
  }
  support::RandomNetwork net = support::random_network("InverseDistanceLaw", 60);
  std::vector<double> depths;
};

TEST_P(InverseDistanceLaw, KeepsAConstantField) {
  const std::vector<double> same(net.gauges.size(), 3.7);
  for (const Estimate& e : inverse_distance(net.gauges, same, net.targets, GetParam()))
    EXPECT_NEAR(e.value, 3.7, 1e-13);
}

TEST_P(InverseDistanceLaw, IsExactAtAGauge) {
  const auto estimates = inverse_distance(net.gauges, depths, net.gauges, GetParam());
  for (std::size_t i = 0; i < depths.size(); ++i) EXPECT_EQ(estimates[i].value, depths[i]);
}

TEST_P(InverseDistanceLaw, StaysBetweenTheLowestAndTheHighest) {
  const auto [low, high] = std::minmax_element(depths.begin(), depths.end());
  for (const Estimate& e : inverse_distance(net.gauges, depths, net.targets, GetParam())) {
    EXPECT_GE(e.value, *low * (1 - 1e-12));
    EXPECT_LE(e.value, *high * (1 + 1e-12));
  }
}

TEST_P(InverseDistanceLaw, DoesNotCareForTheScaleOfTheCoordinates) {
  auto gauges = net.gauges, targets = net.targets;
  for (auto* points : {&gauges, &targets})
    for (MetricPoint& p : *points) p = {p.x_m * 1024, p.y_m * 1024};  // a power of 2: exactly
  const auto a = inverse_distance(net.gauges, depths, net.targets, GetParam());
  const auto b = inverse_distance(gauges, depths, targets, GetParam());
  for (std::size_t i = 0; i < a.size(); ++i) EXPECT_EQ(a[i].value, b[i].value);
}

INSTANTIATE_TEST_SUITE_P(Options, InverseDistanceLaw,
                         testing::Values(InverseDistanceOptions{},
                                         InverseDistanceOptions{.power = 0.5, .max_neighbours = 0},
                                         InverseDistanceOptions{.power = 7, .max_neighbours = 3},
                                         InverseDistanceOptions{.power = 2, .max_neighbours = 1}));

}  // namespace
}  // namespace gaugeloom
