#include "gaugeloom/storms/storm_surface.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "gaugeloom/storms/storm_map.hpp"

namespace gaugeloom {
namespace {

constexpr double kCellsPerSpacing = 10;
constexpr double kMostCells = 40000;

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
  const StormTotals totals = storm_totals(gauges, rows);
  const std::optional<RainMap> map = storm_map(gauges, rows, variogram);
  if (!map) return surface;
  surface.grid = grid_around(totals.places);
  surface.total_mm.resize(surface.grid.cell_count());
  map->fill(surface.grid, {0, 0, surface.grid.columns, surface.grid.rows},
            std::array{MapBand::total}, surface.total_mm);

  const SurfaceOptions options = storm_surface_options(totals, variogram);
  std::vector<double> error_mm2;
  for (const double error : totals.error_mm) error_mm2.push_back(error * error);
  KrigingOptions kriging;
  kriging.max_neighbours = options.neighbours;
  const auto others =
      leave_one_out_kriging(totals.places, totals.mm, error_mm2, options.variogram, kriging);
  for (std::size_t i = 0; i < others.size(); ++i)
    surface.others_mm[totals.gauges[i]] = others[i].value;
  return surface;
}

}  // namespace gaugeloom
