#include "gaugeloom/storms/storm_surface.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

const Variogram kStorm{VariogramShape::exponential, 0.1, 0.9, 40000};

std::vector<StormGauge> rows_of(const std::vector<double>& totals_mm) {
  std::vector<StormGauge> rows(totals_mm.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].gauge = i;
    rows[i].total_mm = totals_mm[i];
  }
  return rows;
}

TEST(StormSurface, OfAConstantFieldIsConstant) {
  const auto gauges = support::jittered_grid(20, 8000, 3);
  const StormSurface surface = storm_surface(gauges, rows_of(std::vector<double>(20, 12)), kStorm);
  ASSERT_EQ(surface.total_mm.size(), surface.grid.cell_count());
  std::size_t supported = 0;
  for (const float mm : surface.total_mm) {
    if (std::isnan(mm)) continue;
    ++supported;
    EXPECT_NEAR(mm, 12, 1e-3);
  }
  EXPECT_GT(supported, 1000U);
  EXPECT_LE(surface.grid.cell_count(), 41000U);
  for (const double mm : surface.others_mm) EXPECT_NEAR(mm, 12, 1e-9);
}

TEST(StormSurface, ShowsAGaugeThatDoesNotFitTheOthers) {
  const auto gauges = support::jittered_grid(20, 8000, 3);
  std::vector<double> totals(20, 12);
  totals[7] = 40;
  const StormSurface surface = storm_surface(gauges, rows_of(totals), kStorm);
  EXPECT_NEAR(surface.others_mm[7], 12, 1e-9);
  EXPECT_GT(surface.others_mm[8], 11.9);
}

TEST(StormSurface, LeansLessOnWhatIsLessCertain) {
  const auto gauges = support::jittered_grid(20, 8000, 3);
  std::vector<double> totals(20, 12);
  totals[7] = 40;
  auto rows = rows_of(totals);
  const auto highest = [](const StormSurface& surface) {
    float most = 0;
    for (const float mm : surface.total_mm) most = mm > most ? mm : most;
    return most;
  };
  const float before = highest(storm_surface(gauges, rows, kStorm));
  rows[7].standard_error_mm = 20;
  EXPECT_LT(highest(storm_surface(gauges, rows, kStorm)), before - 5);
}

TEST(StormSurface, IsNoneFromTwoGauges) {
  const auto gauges = support::jittered_grid(4, 8000, 3);
  const double none = std::nan("");
  const StormSurface surface = storm_surface(gauges, rows_of({1, 2, none, none}), kStorm);
  EXPECT_EQ(surface.grid.cell_count(), 0U);
  EXPECT_TRUE(std::isnan(surface.others_mm[0]));
}

}  // namespace
}  // namespace gaugeloom
