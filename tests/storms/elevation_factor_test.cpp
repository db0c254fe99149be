#include "gaugeloom/storms/elevation_factor.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

struct Hills {
  std::vector<MetricPoint> gauges;
  std::vector<double> elevation_m;
  std::vector<float> totals_mm;
  std::size_t storms;
  FieldRecord view() const { return {totals_mm, gauges.size(), storms}; }
};

// Planes of rain, another for each storm, times exp(rate z).
Hills hills(std::size_t storms, double rate_per_m, double size = 1) {
  Random random("hills");
  Hills made{support::random_network("hills", 40).gauges, {}, {}, storms};
  std::vector<double> slope;
  for (std::size_t s = 0; s < storms; ++s) slope.push_back(random.uniform() * 1e-4);
  for (const MetricPoint& place : made.gauges) {
    made.elevation_m.push_back(800 * random.uniform());
    for (std::size_t s = 0; s < storms; ++s)
      made.totals_mm.push_back(static_cast<float>(size * (20 + slope[s] * place.x_m) *
                                                  std::exp(rate_per_m * made.elevation_m.back())));
  }
  return made;
}

SurfaceOptions kriging() {
  SurfaceOptions options;
  options.variogram = {VariogramShape::exponential, 0.05, 0.95, 45000};
  return options;
}

TEST(ElevationFactor, FindsTheRateThatWasPutIn) {
  const Hills made = hills(40, 8e-4);
  const ElevationTrial trial = try_elevation(made.gauges, made.elevation_m, made.view(), kriging());
  EXPECT_NEAR(trial.factor.rate_per_m, 8e-4, 0.6e-4);
  EXPECT_EQ(trial.storms, 40U);
  EXPECT_LT(trial.factor_rmse_mm, 0.5 * trial.plain_rmse_mm);
  EXPECT_TRUE(trial.earns_its_place);
  EXPECT_NEAR(trial.factor.at(trial.factor.reference_m + 100), std::exp(0.08), 0.01);
}

TEST(ElevationFactor, FewStormsAreNotEnough) {
  const Hills made = hills(29, 8e-4);
  const ElevationTrial trial = try_elevation(made.gauges, made.elevation_m, made.view(), kriging());
  EXPECT_LT(trial.factor_rmse_mm, 0.5 * trial.plain_rmse_mm);
  EXPECT_FALSE(trial.earns_its_place);
}

TEST(ElevationFactor, EqualHeightsGainNothing) {
  Hills made = hills(40, 0);
  made.elevation_m.assign(made.elevation_m.size(), 300);
  const ElevationTrial trial = try_elevation(made.gauges, made.elevation_m, made.view(), kriging());
  EXPECT_NEAR(trial.factor_rmse_mm, trial.plain_rmse_mm, 1e-5);
  EXPECT_FALSE(trial.earns_its_place);
}

TEST(ElevationFactor, TheUnitOfRainDoesNotMatter) {
  const ElevationTrial mm = try_elevation(hills(40, 5e-4).gauges, hills(40, 5e-4).elevation_m,
                                          hills(40, 5e-4).view(), kriging());
  const Hills fourfold = hills(40, 5e-4, 4);
  const ElevationTrial quarters =
      try_elevation(fourfold.gauges, fourfold.elevation_m, fourfold.view(), kriging());
  EXPECT_EQ(mm.factor.rate_per_m, quarters.factor.rate_per_m);
  EXPECT_NEAR(4 * mm.factor_rmse_mm, quarters.factor_rmse_mm, 1e-5);
}

// Rain that is a factor of height alone is mapped as such, its error in proportion.
TEST(RainMapOnHills, EachCellHasTheRainOfItsHeight) {
  Random random("EachCellHasTheRainOfItsHeight");
  const std::vector<MetricPoint> gauges = support::random_network("EachCell", 30).gauges;
  const auto height_m = [](const MetricPoint& place) {
    return 300 + 300 * std::sin(place.x_m / 9000) * std::cos(place.y_m / 7000);
  };
  RainMapOptions options;
  options.surface.variogram = {VariogramShape::exponential, 1, 20, 30000};
  options.elevation = MapElevation{{1e-3, 300}, {}, {}};
  std::vector<double> totals_mm, error_mm(gauges.size(), 0.0);
  for (const MetricPoint& gauge : gauges) {
    options.elevation->gauges_m.push_back(height_m(gauge));
    totals_mm.push_back(10 * std::exp(1e-3 * (height_m(gauge) - 300)));
  }
  options.elevation->sample = [&](std::span<const MetricPoint> places, std::span<double> heights) {
    for (std::size_t i = 0; i < places.size(); ++i)
      heights[i] = places[i].x_m < 20000 ? std::nan("") : height_m(places[i]);
  };
  const RainMap map(gauges, totals_mm, error_mm, options);
  EXPECT_NEAR(map.skill().rmse_mm, 0, 1e-5);
  const Grid grid = grid_over({0, 0, 80000, 80000}, 4000);
  const std::size_t n = grid.cell_count();
  std::vector<float> out(2 * n);
  const std::vector<MapBand> bands = {MapBand::total, MapBand::support};
  map.fill(grid, {0, 0, grid.columns, grid.rows}, bands, out);
  std::size_t seen = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const MetricPoint centre = grid.centre(i % grid.columns, i / grid.columns);
    if (centre.x_m < 20000) {
      ASSERT_EQ(out[n + i], 0);
      ASSERT_TRUE(std::isnan(out[i]));
    }
    if (out[n + i] == 0) continue;
    ++seen;
    ASSERT_NEAR(out[i], 10 * std::exp(1e-3 * (height_m(centre) - 300)), 2e-3);
  }
  EXPECT_GT(seen, 100U);
}

}  // namespace
}  // namespace gaugeloom
