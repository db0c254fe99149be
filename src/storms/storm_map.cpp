#include "gaugeloom/storms/storm_map.hpp"

#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/interp/depth_variogram.hpp"

namespace gaugeloom {

StormTotals storm_totals(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows) {
  GAUGELOOM_ASSERT(rows.size() == gauges.size());
  StormTotals totals;
  for (const StormGauge& row : rows) {
    if (row.total_mm != row.total_mm) continue;
    const bool known = row.standard_error_mm == row.standard_error_mm;
    totals.gauges.push_back(row.gauge);
    totals.places.push_back(gauges[row.gauge]);
    totals.mm.push_back(row.total_mm);
    totals.error_mm.push_back(known ? row.standard_error_mm : row.total_mm);
  }
  return totals;
}

SurfaceOptions storm_surface_options(const StormTotals& totals, const Variogram& variogram) {
  GAUGELOOM_ASSERT(totals.mm.size() >= 2);
  SurfaceOptions options;
  options.neighbours = usual_surface_neighbours(totals.gauges.size());
  const std::vector<float> field(totals.mm.begin(), totals.mm.end());
  const double variance = mean_field_variance({field, field.size(), 1});
  options.variogram = variogram;
  options.variogram.nugget *= variance;
  options.variogram.partial_sill *= variance;
  return options;
}

std::optional<RainMap> storm_map(std::span<const MetricPoint> gauges,
                                 std::span<const StormGauge> rows, const Variogram& variogram) {
  const StormTotals totals = storm_totals(gauges, rows);
  if (totals.gauges.size() < 3) return std::nullopt;
  RainMapOptions options;
  options.surface = storm_surface_options(totals, variogram);
  return RainMap(totals.places, totals.mm, totals.error_mm, options);
}

StormMaps storm_maps(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows,
                     const Variogram& variogram) {
  return [gauges, rows, variogram](std::size_t storm) {
    return storm_map(gauges, rows.subspan(storm * gauges.size(), gauges.size()), variogram);
  };
}

}  // namespace gaugeloom
