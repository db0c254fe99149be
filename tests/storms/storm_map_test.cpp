#include "gaugeloom/storms/storm_map.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

const Variogram kStorm{VariogramShape::exponential, 0.1, 0.9, 40000};

std::vector<StormGauge> rows_of(const std::vector<double>& totals_mm, std::size_t gauges) {
  std::vector<StormGauge> rows(totals_mm.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].gauge = i % gauges;
    rows[i].total_mm = totals_mm[i];
  }
  return rows;
}

TEST(StormMap, IsOfTheGaugesWithATotal) {
  const auto gauges = support::jittered_grid(5, 8000, 3);
  const double none = std::nan("");
  auto rows = rows_of({1, none, 3, 5, none}, 5);
  rows[2].standard_error_mm = none;  // nothing was learned of it: it may be as wrong as it is large
  const StormTotals totals = storm_totals(gauges, rows);
  EXPECT_EQ(totals.gauges, (std::vector<std::size_t>{0, 2, 3}));
  EXPECT_EQ(totals.mm, (std::vector<double>{1, 3, 5}));
  EXPECT_EQ(totals.error_mm, (std::vector<double>{0, 3, 0}));
  const SurfaceOptions options = storm_surface_options(totals, kStorm);
  EXPECT_NEAR(options.variogram.sill(), 4, 1e-12);  // the variance of 1, 3 and 5
  EXPECT_EQ(options.neighbours, 0);
  EXPECT_TRUE(storm_map(gauges, rows, kStorm).has_value());
  rows[0].total_mm = none;
  EXPECT_FALSE(storm_map(gauges, rows, kStorm).has_value());
}

TEST(StormMap, IsMadeForEachStorm) {
  const auto gauges = support::jittered_grid(4, 8000, 3);
  const auto rows = rows_of({1, 1, 1, 1, 7, 7, 7, 7}, 4);
  const StormMaps maps = storm_maps(gauges, rows, kStorm);
  const Grid grid{gauges[0].x_m - 50, gauges[0].y_m + 50, 100, 100, 1, 1};
  std::array<float, 1> total{};
  for (const std::size_t storm : {0U, 1U}) {
    maps(storm)->fill(grid, {0, 0, 1, 1}, std::array{MapBand::total}, total);
    EXPECT_EQ(total[0], storm == 0 ? 1 : 7);
  }
}

}  // namespace
}  // namespace gaugeloom
