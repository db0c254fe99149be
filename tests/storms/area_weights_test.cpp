#include "gaugeloom/storms/area_weights.hpp"

#include <gtest/gtest.h>

#include <numeric>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/interp/block_kriging.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

AreaWeightOptions options_for_test() {
  AreaWeightOptions options;
  options.storm = {VariogramShape::exponential, 0.1, 0.9, 40000};
  options.step = {VariogramShape::exponential, 0.3, 0.7, 10000};
  return options;
}

std::vector<std::size_t> all_of(std::size_t count) {
  std::vector<std::size_t> rows(count);
  std::iota(rows.begin(), rows.end(), std::size_t{0});
  return rows;
}

TEST(AreaWeights, AddUpToOneAndAreNeverNegative) {
  const auto gauges = support::jittered_grid(50, 8000, 3);
  const auto points = rectangle_points({24000, 24000}, 20000, 15000, 10, 10);
  const AreaWeights area = area_weights(gauges, all_of(50), points, options_for_test());
  ASSERT_EQ(area.weights.size(), area.gauges.size());
  EXPECT_LT(area.gauges.size(), 50U);
  double sum = 0;
  for (const double weight : area.weights) {
    EXPECT_GE(weight, 0);
    sum += weight;
  }
  EXPECT_NEAR(sum, 1, 1e-12);
  EXPECT_EQ(area.supported_share, 1);
  EXPECT_GT(area.step_variance, area.storm_variance);  // shorter range: less is known
  EXPECT_GT(area.step_share, 0.05);                    // a mean is told better than a gauge
  EXPECT_LT(area.step_share, 1);
  EXPECT_LT(area.storm_spread, 1);
  EXPECT_GT(area.storm_spread, 0.1);
}

TEST(AreaWeights, DoNotDependOnFarGauges) {
  auto gauges = support::jittered_grid(50, 8000, 3);
  const auto points = rectangle_points({12000, 12000}, 10000, 10000, 8, 8);
  const AreaWeights alone = area_weights(gauges, all_of(50), points, options_for_test());
  gauges.push_back({300000, 300000});
  gauges.push_back({310000, 300000});
  const AreaWeights more = area_weights(gauges, all_of(52), points, options_for_test());
  EXPECT_EQ(alone.gauges, more.gauges);
  EXPECT_EQ(alone.weights, more.weights);
}

TEST(AreaWeights, UseWhatIsAvailableOnly) {
  const auto gauges = support::jittered_grid(50, 8000, 3);
  const auto points = rectangle_points({24000, 24000}, 20000, 15000, 10, 10);
  std::vector<std::size_t> some;
  for (std::size_t i = 0; i < 50; i += 2) some.push_back(i);
  const AreaWeights area = area_weights(gauges, some, points, options_for_test());
  for (const std::size_t gauge : area.gauges) EXPECT_EQ(gauge % 2, 0U);
  EXPECT_GT(area.storm_variance,
            area_weights(gauges, all_of(50), points, options_for_test()).storm_variance);
  EXPECT_TRUE(
      area_weights(gauges, std::vector<std::size_t>{1, 2}, points, options_for_test()).empty());
}

TEST(AreaWeights, SupportNothingFarOutside) {
  const auto gauges = support::jittered_grid(50, 8000, 3);
  const auto far = rectangle_points({400000, 20000}, 20000, 20000, 5, 5);
  EXPECT_EQ(area_weights(gauges, all_of(50), far, options_for_test()).supported_share, 0);
  const auto half = rectangle_points({-10000, 24000}, 100000, 10000, 40, 4);
  const double share = area_weights(gauges, all_of(50), half, options_for_test()).supported_share;
  EXPECT_GT(share, 0.3);
  EXPECT_LT(share, 0.9);
}

TEST(AreaWeights, RefuseImpossibleOptions) {
  const auto gauges = support::jittered_grid(10, 8000, 3);
  const auto points = rectangle_points({10000, 10000}, 5000, 5000, 2, 2);
  AreaWeightOptions options = options_for_test();
  options.per_point = 0;
  EXPECT_THROW(area_weights(gauges, all_of(10), points, options), Error);
  options = options_for_test();
  options.step.range_m = -1;
  EXPECT_THROW(area_weights(gauges, all_of(10), points, options), Error);
}

}  // namespace
}  // namespace gaugeloom
