#pragma once
// The map of a storm's totals where nobody chose another: what its isohyets, the means of areas and
// the depths over areas are of, so that they agree with each other and with the usual map.

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/variogram.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"

namespace gaugeloom {

// The gauges of a storm that have a total, with the standard error of each; where none is known,
// the total itself.
struct StormTotals {
  std::vector<std::size_t> gauges;
  std::vector<MetricPoint> places;
  std::vector<double> mm, error_mm;
};
// `rows` are of one storm, one per gauge, in the order of `gauges`.
StormTotals storm_totals(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows);

// The scaled variogram (sill 1, of storms) times the variance of these totals, and the usual
// neighbours of a surface. Requires: 2 totals or more.
SurfaceOptions storm_surface_options(const StormTotals& totals, const Variogram& variogram);

// Nothing where fewer than 3 gauges have a total.
std::optional<RainMap> storm_map(std::span<const MetricPoint> gauges,
                                 std::span<const StormGauge> rows, const Variogram& variogram);

// The map of a storm of the list, by its index.
using StormMaps = std::function<std::optional<RainMap>(std::size_t storm)>;

// The maps above. `gauges` and `rows` (of all storms, as storm_gauges gives them) outlive it.
StormMaps storm_maps(std::span<const MetricPoint> gauges, std::span<const StormGauge> rows,
                     const Variogram& variogram);

}  // namespace gaugeloom
