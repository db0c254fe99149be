#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

const std::vector<Variogram> kModels = {
    {.shape = VariogramShape::spherical, .partial_sill = 3, .range_m = 60000},
    {.shape = VariogramShape::exponential, .nugget = 0.3, .partial_sill = 1, .range_m = 15000},
    {.shape = VariogramShape::gaussian, .nugget = 0.1, .partial_sill = 1, .range_m = 20000},
    {.shape = VariogramShape::matern, .partial_sill = 1, .range_m = 9000, .smoothness = 0.8},
    {.nugget = 1, .partial_sill = 0}};

void expect_same(const std::vector<Estimate>& got, const std::vector<Estimate>& want) {
  ASSERT_EQ(got.size(), want.size());
  for (std::size_t i = 0; i < got.size(); ++i) {
    EXPECT_EQ(got[i].status, want[i].status);
    EXPECT_EQ(got[i].gauges_used, want[i].gauges_used);
    EXPECT_NEAR(got[i].value, want[i].value, 1e-9);
    EXPECT_NEAR(got[i].variance, want[i].variance, 1e-9);
  }
}

TEST(LeaveOneOut, ClosedFormAgreesWithOneByOne) {
  for (const int gauges : {2, 3, 17, 45}) {
    const auto net = support::random_network("ClosedFormAgreesWithOneByOne", gauges);
    Random random("ClosedFormAgreesWithOneByOneDepths");
    std::vector<double> depths, noise;
    for (int i = 0; i < gauges; ++i) {
      depths.push_back(random.exponential(8));
      noise.push_back(random.uniform(0, 0.5));
    }
    for (const Variogram& model : kModels) {
      SCOPED_TRACE(describe(model));
      expect_same(leave_one_out_kriging_closed_form(net.gauges, depths, {}, model),
                  leave_one_out_kriging(net.gauges, depths, {}, model, {.max_neighbours = 0}));
      expect_same(leave_one_out_kriging_closed_form(net.gauges, depths, noise, model),
                  leave_one_out_kriging(net.gauges, depths, noise, model, {.max_neighbours = 0}));
    }
  }
}

TEST(LeaveOneOut, ClosedFormAgreesWhereGaugesAreMissing) {
  const auto net = support::random_network("ClosedFormAgreesWhereGaugesAreMissing", 30);
  Random random("ClosedFormAgreesWhereGaugesAreMissingDepths");
  std::vector<double> depths;
  for (int i = 0; i < 30; ++i)
    depths.push_back(random.chance(0.3) ? std::numeric_limits<double>::quiet_NaN()
                                        : random.exponential(8));
  for (const Variogram& model : kModels)
    expect_same(leave_one_out_kriging_closed_form(net.gauges, depths, {}, model),
                leave_one_out_kriging(net.gauges, depths, {}, model, {.max_neighbours = 0}));
}

TEST(LeaveOneOut, IsOrdinaryKrigingFromTheOthers) {
  const auto net = support::random_network("IsOrdinaryKrigingFromTheOthers", 25);
  Random random("IsOrdinaryKrigingFromTheOthersDepths");
  std::vector<double> depths;
  for (int i = 0; i < 25; ++i) depths.push_back(random.exponential(8));
  for (const Variogram& model : kModels) {
    const auto got = leave_one_out_kriging(net.gauges, depths, {}, model, {.max_neighbours = 9});
    const auto idw = leave_one_out_inverse_distance(net.gauges, depths, {.max_neighbours = 9});
    for (std::size_t i = 0; i < depths.size(); ++i) {
      auto gauges = net.gauges;
      auto others = depths;
      gauges.erase(gauges.begin() + static_cast<std::ptrdiff_t>(i));
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      const std::vector<MetricPoint> target = {net.gauges[i]};
      const auto want =
          ordinary_kriging(gauges, others, {}, target, model, {.max_neighbours = 9}).at(0);
      EXPECT_EQ(got[i].value, want.value);
      EXPECT_EQ(got[i].variance, want.variance);
      EXPECT_EQ(idw[i].value,
                inverse_distance(gauges, others, target, {.max_neighbours = 9}).at(0).value);
    }
  }
}

}  // namespace
}  // namespace gaugeloom
