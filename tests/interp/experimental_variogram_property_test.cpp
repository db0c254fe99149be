#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/experimental_variogram.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

class ExperimentalVariogramLaw : public testing::TestWithParam<ExperimentalVariogramOptions> {
 protected:
  ExperimentalVariogramLaw() {
    Random random("ExperimentalVariogramLawValues");
    for (std::size_t i = 0; i < net.gauges.size(); ++i) values.push_back(random.exponential(5));
  }
  support::RandomNetwork net = support::random_network("ExperimentalVariogramLaw", 50);
  std::vector<double> values;
};

TEST_P(ExperimentalVariogramLaw, IgnoresAConstantAndSquaresAFactor) {
  auto moved = values;
  for (double& value : moved) value = 3 * value + 40;
  const auto a = experimental_variogram(net.gauges, values, GetParam());
  const auto b = experimental_variogram(net.gauges, moved, GetParam());
  ASSERT_EQ(a.size(), b.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_EQ(a[i].pairs, b[i].pairs);
    EXPECT_NEAR(b[i].gamma, 9 * a[i].gamma, 1e-9 * b[i].gamma);
  }
}

TEST_P(ExperimentalVariogramLaw, HoldsEveryPairWithinTheCutoff) {
  MetricPoint low = net.gauges[0], high = net.gauges[0];
  for (const MetricPoint& p : net.gauges) {
    low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
    high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
  }
  const double cutoff = GetParam().cutoff_m > 0 ? GetParam().cutoff_m : distance_m(low, high) / 3;
  std::size_t want = 0, got = 0;
  for (std::size_t i = 0; i < net.gauges.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      want += distance_m(net.gauges[i], net.gauges[j]) <= cutoff ? 1 : 0;
  for (const VariogramBin& bin : experimental_variogram(net.gauges, values, GetParam()))
    got += bin.pairs;
  EXPECT_EQ(got, want);
}

TEST_P(ExperimentalVariogramLaw, BinsComeByRisingDistance) {
  double before = -1;
  for (const VariogramBin& bin : experimental_variogram(net.gauges, values, GetParam())) {
    EXPECT_GT(bin.distance_m, before);
    before = bin.distance_m;
  }
}

INSTANTIATE_TEST_SUITE_P(
    Options, ExperimentalVariogramLaw,
    testing::Values(ExperimentalVariogramOptions{},
                    ExperimentalVariogramOptions{
                        .estimator = VariogramEstimator::robust, .bin_count = 7, .cutoff_m = 40000},
                    ExperimentalVariogramOptions{.bins = DistanceBins::equal_pairs},
                    ExperimentalVariogramOptions{.estimator = VariogramEstimator::robust,
                                                 .bins = DistanceBins::equal_pairs,
                                                 .bin_count = 100,
                                                 .cutoff_m = 1e9}));

}  // namespace
}  // namespace gaugeloom
