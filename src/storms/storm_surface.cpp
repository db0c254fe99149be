#include "gaugeloom/storms/storm_surface.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "gaugeloom/storms/rain_map.hpp"

namespace gaugeloom {
namespace {

constexpr double kCellsPerSpacing = 10;
constexpr double kMostCells = 40000;
constexpr double kLeastVariance = 1e-6;  // mm2, of totals that are all alike

struct Totals {
  std::vector<std::size_t> gauges;
  std::vector<MetricPoint> places;
  std::vector<double> mm, error_mm, error_mm2;
};

Totals totals_of(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows) {
  Totals totals;
  for (const StormGauge& row : rows) {
    if (row.total_mm != row.total_mm) continue;
    // Where nothing was learned of the errors of what was filled.
    const double error =
        row.standard_error_mm == row.standard_error_mm ? row.standard_error_mm : row.total_mm;
    totals.gauges.push_back(row.gauge);
    totals.places.push_back(gauges[row.gauge]);
    totals.mm.push_back(row.total_mm);
    totals.error_mm.push_back(error);
    totals.error_mm2.push_back(error * error);
  }
  return totals;
}

double variance_of(std::span<const double> values) {
  double mean = 0;
  double squares = 0;
  for (const double value : values) mean += value / static_cast<double>(values.size());
  for (const double value : values) squares += (value - mean) * (value - mean);
  return squares / static_cast<double>(values.size() - 1);
}

Grid grid_around(std::span<const MetricPoint> places) {
  const double spacing_m = std::max(median_spacing_m(places), 1.0);
  const MetricBounds box = bounds_around(places, spacing_m);
  const double area_m2 = (box.x_max_m - box.x_min_m) * (box.y_max_m - box.y_min_m);
  return grid_over(box, std::max(spacing_m / kCellsPerSpacing, std::sqrt(area_m2 / kMostCells)));
}

}  // namespace

StormSurface storm_surface(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows,
                           const Variogram& variogram) {
  GAUGELOOM_ASSERT(rows.size() == gauges.size());
  StormSurface surface;
  surface.others_mm.assign(gauges.size(), std::numeric_limits<double>::quiet_NaN());
  const Totals totals = totals_of(gauges, rows);
  if (totals.gauges.size() < 3) return surface;
  RainMapOptions options;
  options.surface.variogram = variogram;
  options.surface.neighbours = usual_surface_neighbours(totals.gauges.size());
  const double variance = std::max(kLeastVariance, variance_of(totals.mm));
  options.surface.variogram.nugget *= variance;
  options.surface.variogram.partial_sill *= variance;
  const RainMap map(totals.places, totals.mm, totals.error_mm, options);
  surface.grid = grid_around(totals.places);
  surface.total_mm.resize(surface.grid.cell_count());
  map.fill(surface.grid, {0, 0, surface.grid.columns, surface.grid.rows},
           std::array{MapBand::total}, surface.total_mm);

  KrigingOptions kriging;
  kriging.max_neighbours = options.surface.neighbours;
  const auto others = leave_one_out_kriging(totals.places, totals.mm, totals.error_mm2,
                                            options.surface.variogram, kriging);
  for (std::size_t i = 0; i < others.size(); ++i)
    surface.others_mm[totals.gauges[i]] = others[i].value;
  return surface;
}

}  // namespace gaugeloom
