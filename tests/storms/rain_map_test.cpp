#include "gaugeloom/storms/rain_map.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

struct Storm {
  std::vector<MetricPoint> gauges;
  std::vector<double> totals_mm, standard_error_mm;
};

Storm storm(const char* name, int gauges) {
  Random random(name);
  Storm result{support::random_network(name, gauges).gauges, {}, {}};
  for (int i = 0; i < gauges; ++i) {
    result.totals_mm.push_back(10 + random.exponential(8));
    result.standard_error_mm.push_back(gauge_standard_error_mm(result.totals_mm.back(), 0.2, 5));
  }
  return result;
}

RainMapOptions kriging_options() {
  RainMapOptions options;
  options.surface.variogram = {VariogramShape::exponential, 4, 40, 20000};
  return options;
}

TEST(RainMap, HasTheBandsOfTheContract) {
  const Storm s = storm("HasTheBandsOfTheContract", 60);
  RainMapOptions options = kriging_options();
  options.surface.neighbours = 0;
  const RainMap map(s.gauges, s.totals_mm, s.standard_error_mm, options);
  const Grid grid = grid_over({-60000, -60000, 130000, 130000}, 5000);
  const GridBlock block{0, 0, grid.columns, grid.rows};
  const std::size_t n = block.cell_count();
  std::vector<float> out(6 * n);
  map.fill(grid, block, kMapBands, out);
  std::vector<double> noise;
  for (const double e : s.standard_error_mm) noise.push_back(e * e);
  const Variogram variogram = kriging_options().surface.variogram;
  std::size_t supported = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const MetricPoint centre = grid.centre(i % grid.columns, i / grid.columns);
    double nearest_m = 1e300;
    for (const MetricPoint& gauge : s.gauges)
      nearest_m = std::min(nearest_m, distance_m(gauge, centre));
    ASSERT_NEAR(out[4 * n + i], nearest_m / 1000, 0.0011);  // rounded to 1/1024
    const float support = out[5 * n + i];
    if (support == 0) {
      for (std::size_t band = 0; band < 4; ++band) ASSERT_TRUE(std::isnan(out[band * n + i]));
      continue;
    }
    ++supported;
    const auto want = ordinary_kriging(s.gauges, s.totals_mm, noise, std::vector{centre}, variogram,
                                       {0, NegativeWeights::keep})[0];
    ASSERT_NEAR(out[i], want.value, 0.0011);
    ASSERT_NEAR(out[n + i], std::sqrt(want.variance), 0.0011);
    ASSERT_LE(out[2 * n + i], out[i]);
    ASSERT_GE(out[2 * n + i], 0);
    ASSERT_GE(out[3 * n + i], out[i]);
    ASSERT_EQ(support, want.variance - variogram.nugget > 0.5 * variogram.partial_sill ? 1 : 2);
    ASSERT_LE(want.variance - variogram.nugget, 0.85 * variogram.partial_sill);
  }
  EXPECT_GT(supported, 200U);
  EXPECT_LT(supported, n - 200);
  EXPECT_TRUE(std::isnan(out[0]));  // 60 km outside
}

TEST(RainMap, LeavesAPureNuggetWithoutSupport) {
  const Storm s = storm("LeavesAPureNuggetWithoutSupport", 10);
  RainMapOptions options = kriging_options();
  options.surface.variogram = {VariogramShape::spherical, 9, 0, 20000};
  const RainMap map(s.gauges, s.totals_mm, s.standard_error_mm, options);
  std::vector<float> out(4);
  map.fill(grid_over({10000, 10000, 20000, 20000}, 5000), {0, 0, 2, 2}, std::vector{MapBand::total},
           out);
  for (const float v : out) EXPECT_TRUE(std::isnan(v));
}

TEST(RainMap, KnowsNoErrorByInverseDistance) {
  const Storm s = storm("KnowsNoErrorByInverseDistance", 30);
  RainMapOptions options;
  options.surface.method = InterpolationMethod::inverse_distance;
  const RainMap map(s.gauges, s.totals_mm, {}, options);
  std::vector<float> out(24);
  map.fill(grid_over({20000, 20000, 40000, 40000}, 10000), {0, 0, 2, 2}, kMapBands, out);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_GT(out[i], 0);
    for (std::size_t band = 1; band < 4; ++band) EXPECT_TRUE(std::isnan(out[band * 4 + i]));
    EXPECT_GT(out[20 + i], 0);
  }
}

TEST(RainMap, DoesNotDependOnTheBlock) {
  const Storm s = storm("DoesNotDependOnTheBlock", 25);
  const RainMap map(s.gauges, s.totals_mm, s.standard_error_mm, kriging_options());
  const Grid grid = grid_over({-20000, -20000, 70000, 70000}, 2000);
  std::vector<float> whole(grid.cell_count());
  map.fill(grid, {0, 0, grid.columns, grid.rows}, std::vector{MapBand::support}, whole);
  for (std::size_t i = 0; i < whole.size(); i += 5) {
    std::vector<float> one(1);
    map.fill(grid, {i % grid.columns, i / grid.columns, 1, 1}, std::vector{MapBand::support}, one);
    ASSERT_EQ(one[0], whole[i]) << i;
  }
}

TEST(RainMap, CalibratesItsBoundsByLeaveOneOut) {
  const Storm few = storm("few", 12), many = storm("many", 200);
  const RainMap plain(few.gauges, few.totals_mm, few.standard_error_mm, kriging_options());
  EXPECT_NEAR(plain.skill().high_factor, 1.645, 1e-3);  // normal law, tables
  EXPECT_NEAR(plain.skill().low_factor, -1.645, 1e-3);
  RainMapOptions wide = kriging_options();
  wide.surface.variogram.nugget *= 1000;  // far too wide: bounds shrink to half, no further
  wide.surface.variogram.partial_sill *= 1000;
  const RainMap shrunk(many.gauges, many.totals_mm, many.standard_error_mm, wide);
  EXPECT_NEAR(shrunk.skill().high_factor, 1.645 / 2, 1e-3);
  EXPECT_GT(shrunk.skill().rmse_mm, 1);
  EXPECT_EQ(shrunk.skill().gauges, 200U);
}

TEST(RainMap, RefusesTooFewGauges) {
  const Storm s = storm("RefusesTooFewGauges", 2);
  EXPECT_THROW(RainMap(s.gauges, s.totals_mm, {}, kriging_options()), Error);
}

TEST(RainMap, NamesItsBands) {
  for (const MapBand band : kMapBands) EXPECT_EQ(parse_map_band(word(band)), band);
  EXPECT_FALSE(parse_map_band("rain"));
  EXPECT_EQ(unit(MapBand::distance), "km");
}

TEST(GaugeStandardError, AddsBucketAndProportion) {
  // b^2/6 + (q x)^2 with b = 0.2, q = 0.05/3, x = 30, by hand: sqrt(0.006667 + 0.25)
  EXPECT_NEAR(gauge_standard_error_mm(30, 0.2, 5), 0.506623, 1e-6);
}

TEST(MedianSpacing, PassesOverGaugesOnOneSpot) {
  EXPECT_EQ(median_spacing_m(std::vector<MetricPoint>{{0, 0}, {0, 0}, {3000, 4000}}), 5000);
  EXPECT_EQ(median_spacing_m(std::vector<MetricPoint>(20, {1, 1})), 0);
}

}  // namespace
}  // namespace gaugeloom
