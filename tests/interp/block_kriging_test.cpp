#include "gaugeloom/interp/block_kriging.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

const Variogram kModel{.shape = VariogramShape::spherical, .partial_sill = 2, .range_m = 30000};
const Variogram kWithNugget{.nugget = 0.5, .partial_sill = 2, .range_m = 30000};

class BlockKriging : public testing::Test {
 protected:
  BlockKriging() {
    Random random("BlockKrigingDepths");
    for (std::size_t i = 0; i < net.gauges.size(); ++i) depths.push_back(random.exponential(5));
  }
  support::RandomNetwork net = support::random_network("BlockKriging", 30);
  std::vector<double> depths;
  std::vector<MetricPoint> block = rectangle_points({25000, 20000}, 20000, 12000, 5, 3);
};

TEST_F(BlockKriging, OfOnePointIsPointKrigingWithoutANugget) {
  const std::vector<MetricPoint> point = {{12345, 23456}};
  const auto block_estimate = block_kriging(net.gauges, depths, {}, point, {}, kModel);
  const auto point_estimate = ordinary_kriging(net.gauges, depths, {}, point, kModel).at(0);
  EXPECT_NEAR(block_estimate.value, point_estimate.value, 1e-12);
  EXPECT_NEAR(block_estimate.variance, point_estimate.variance, 1e-12);
}

TEST_F(BlockKriging, LeavesTheNuggetOfThePlaceOut) {
  const std::vector<MetricPoint> point = {{12345, 23456}};
  const auto block_estimate = block_kriging(net.gauges, depths, {}, point, {}, kWithNugget);
  const auto point_estimate = ordinary_kriging(net.gauges, depths, {}, point, kWithNugget).at(0);
  EXPECT_NEAR(block_estimate.value, point_estimate.value, 1e-12);
  EXPECT_NEAR(block_estimate.variance, point_estimate.variance - kWithNugget.nugget, 1e-12);
}

TEST_F(BlockKriging, KeepsAConstantField) {
  const std::vector<double> same(depths.size(), 6.5);
  EXPECT_NEAR(block_kriging(net.gauges, same, {}, block, {}, kWithNugget).value, 6.5, 1e-12);
}

TEST_F(BlockKriging, IsTheMeanOfItsPoints) {
  std::vector<double> shares;
  for (std::size_t i = 0; i < block.size(); ++i)
    shares.push_back(static_cast<double>(i + 1) * 2.0 /
                     static_cast<double>(block.size() * (block.size() + 1)));
  const auto points =
      ordinary_kriging(net.gauges, depths, {}, block, kModel, {.max_neighbours = 0});
  double mean = 0, variance = 0;
  for (std::size_t i = 0; i < block.size(); ++i) {
    mean += shares[i] * points[i].value;
    variance += shares[i] * points[i].variance;
  }
  const auto e =
      block_kriging(net.gauges, depths, {}, block, shares, kModel, {.max_neighbours = 0});
  EXPECT_NEAR(e.value, mean, 1e-11);
  EXPECT_LE(e.variance, variance);
  EXPECT_GT(e.variance, 0);
}

TEST_F(BlockKriging, TakesTheNearestOfItsMiddle) {
  const auto w = block_kriging_weights(net.gauges, {}, block, {}, kModel, {.max_neighbours = 6});
  const std::vector<MetricPoint> middle = {{25000, 20000}};
  EXPECT_EQ(w.gauges,
            kriging_weights(net.gauges, {}, middle[0], kModel, {.max_neighbours = 6}).gauges);
}

TEST_F(BlockKriging, ReportsWhatCannotBeEstimated) {
  EXPECT_EQ(block_kriging({}, {}, {}, block, {}, kModel).status, EstimateStatus::no_gauges);
  const std::vector<MetricPoint> twins = {{0, 0}, {0, 0}};
  const std::vector<double> two = {1, 2};
  EXPECT_EQ(block_kriging(twins, two, {}, block, {}, kModel).status,
            EstimateStatus::singular_system);
  EXPECT_THROW(block_kriging(twins, two, {}, block, {}, kModel, {.max_neighbours = -1}), Error);
}

TEST_F(BlockKriging, HasTheErrorVarianceOfItsWeights) {
  for (const NegativeWeights negative : {NegativeWeights::keep, NegativeWeights::drop}) {
    const KrigingWeights w =
        block_kriging_weights(net.gauges, {}, block, {}, kWithNugget,
                              {.max_neighbours = 0, .negative_weights = negative});
    ASSERT_EQ(w.weights.size(), net.gauges.size());
    EXPECT_NEAR(block_error_variance(net.gauges, w.weights, block, {}, kWithNugget), w.variance,
                1e-11);
  }
}

TEST(RectanglePoints, AreTheCentresOfItsCells) {
  const auto points = rectangle_points({10, 20}, 8, 6, 2, 3);
  const std::vector<MetricPoint> want = {{8, 18}, {12, 18}, {8, 20}, {12, 20}, {8, 22}, {12, 22}};
  ASSERT_EQ(points.size(), want.size());
  for (std::size_t i = 0; i < want.size(); ++i) {
    EXPECT_NEAR(points[i].x_m, want[i].x_m, 1e-12);
    EXPECT_NEAR(points[i].y_m, want[i].y_m, 1e-12);
  }
}

}  // namespace
}  // namespace gaugeloom
