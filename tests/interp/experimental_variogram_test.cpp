#include "gaugeloom/interp/experimental_variogram.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

// On a line at 0, 1, 2 and 4 m: pairs at 1 1 2 2 3 4.
const std::vector<MetricPoint> kLine = {{0, 0}, {1, 0}, {2, 0}, {4, 0}};
const std::vector<double> kValues = {1, 2, 4, 4};

TEST(ExperimentalVariogram, CountsPairsByHand) {
  const auto bins = experimental_variogram(kLine, kValues, {.bin_count = 4, .cutoff_m = 4});
  ASSERT_EQ(bins.size(), 4u);
  EXPECT_EQ(bins[0].pairs, 2u);  // 1-2, 2-4: squares 1 and 4
  EXPECT_DOUBLE_EQ(bins[0].gamma, 0.5 * 2.5);
  EXPECT_DOUBLE_EQ(bins[0].distance_m, 1);
  EXPECT_EQ(bins[1].pairs, 2u);  // 1-4, 4-4
  EXPECT_DOUBLE_EQ(bins[1].gamma, 0.5 * 4.5);
  EXPECT_DOUBLE_EQ(bins[2].gamma, 0.5 * 4);  // 2-4
  EXPECT_DOUBLE_EQ(bins[3].gamma, 0.5 * 9);  // 1-4
}

TEST(ExperimentalVariogram, AveragesRootsInTheRobustEstimator) {
  const auto bins = experimental_variogram(
      kLine, kValues, {.estimator = VariogramEstimator::robust, .bin_count = 4, .cutoff_m = 4});
  const double mean = (1 + std::sqrt(2.0)) / 2;
  EXPECT_NEAR(bins[0].gamma, std::pow(mean, 4) / 2 / (0.457 + 0.494 / 2), 1e-14);
}

TEST(ExperimentalVariogram, RobustEstimatorIsFairOnNormalDifferences) {
  // The constant 0.457 makes E |d|^(1/2) of a normal d with variance 2 gamma come out right.
  Random random("RobustEstimatorIsFairOnNormalDifferences");
  double roots = 0, squares = 0;
  constexpr std::size_t kPairs = 200000;
  for (std::size_t i = 0; i < kPairs; ++i) {
    const double difference = 3 * random.normal();
    roots += std::sqrt(std::abs(difference));
    squares += 0.5 * difference * difference;
  }
  EXPECT_NEAR(robust_semivariance(roots / kPairs, kPairs) / (squares / kPairs), 1, 0.02);
}

TEST(ExperimentalVariogram, SharesPairsEqually) {
  const auto bins = experimental_variogram(
      kLine, kValues, {.bins = DistanceBins::equal_pairs, .bin_count = 4, .cutoff_m = 10});
  ASSERT_EQ(bins.size(), 4u);
  EXPECT_EQ(bins[0].pairs, 2u);
  EXPECT_EQ(bins[1].pairs, 2u);
  EXPECT_EQ(bins[2].pairs, 1u);
  EXPECT_EQ(bins[3].pairs, 1u);
  EXPECT_DOUBLE_EQ(bins[3].distance_m, 4);
}

TEST(ExperimentalVariogram, LeavesMissingValuesOut) {
  auto values = kValues;
  values[1] = std::numeric_limits<double>::quiet_NaN();
  std::size_t pairs = 0;
  for (const auto& bin : experimental_variogram(kLine, values, {.cutoff_m = 10}))
    pairs += bin.pairs;
  EXPECT_EQ(pairs, 3u);
}

TEST(ExperimentalVariogram, IsEmptyWithoutPairs) {
  EXPECT_TRUE(experimental_variogram({}, {}).empty());
  const std::vector<MetricPoint> one = {{0, 0}};
  const std::vector<double> value = {1};
  EXPECT_TRUE(experimental_variogram(one, value).empty());
  EXPECT_TRUE(experimental_variogram(kLine, kValues, {.cutoff_m = 0.5}).empty());
}

TEST(ExperimentalVariogram, PutsPairsOnOneSpotIntoTheFirstBin) {
  const std::vector<MetricPoint> spot = {{5, 5}, {5, 5}};
  const std::vector<double> values = {1, 3};
  for (const auto bins : {DistanceBins::equal_width, DistanceBins::equal_pairs}) {
    const auto found = experimental_variogram(spot, values, {.bins = bins, .cutoff_m = 2});
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].distance_m, 0);
    EXPECT_EQ(found[0].gamma, 2);
  }
}

TEST(ExperimentalVariogram, RefusesImpossibleOptions) {
  EXPECT_THROW(experimental_variogram(kLine, kValues, {.bin_count = 0}), Error);
  EXPECT_THROW(experimental_variogram(kLine, kValues, {.cutoff_m = -1}), Error);
  EXPECT_THROW(experimental_variogram(kLine, kValues, {.cutoff_m = std::nan("")}), Error);
}

}  // namespace
}  // namespace gaugeloom
