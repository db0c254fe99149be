#include "gaugeloom/storms/blind_spots.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"
#include "gaugeloom/interp/depth_variogram.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "storms/hull_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kStormHours = 24;        // it chooses the usual variogram only
constexpr std::size_t kAreaPoints = 200;  // that discretise an area, about

MetricBounds around(std::span<const MetricPoint> gauges, std::span<const Area> areas) {
  MetricBounds box = bounds_around(gauges, 0);
  for (const Area& area : areas) {
    const Box of_area = bounds(area.polygon);
    box = {std::min(box.x_min_m, of_area.min_x_m), std::min(box.y_min_m, of_area.min_y_m),
           std::max(box.x_max_m, of_area.max_x_m), std::max(box.y_max_m, of_area.max_y_m)};
  }
  return box;
}

class Region {
 public:
  Region(std::span<const MetricPoint> gauges, std::span<const Area> areas)
      : areas_(areas), hull_(gauges), box_(around(gauges, areas)) {}

  // Its corner stands on whole cells, as that of a map does.
  Grid grid(double cell_m) const {
    return grid_over({std::floor(box_.x_min_m / cell_m) * cell_m, box_.y_min_m, box_.x_max_m,
                      std::ceil(box_.y_max_m / cell_m) * cell_m},
                     cell_m);
  }

  std::vector<std::size_t> cells(const Grid& grid) const {
    std::vector<std::size_t> inside;
    for (std::size_t cell = 0; cell < grid.cell_count(); ++cell)
      if (holds(grid.centre(cell % grid.columns, cell / grid.columns))) inside.push_back(cell);
    return inside;
  }

  // The side of a cell that gives at most kUsualPlaces of them.
  double usual_cell_m() const {
    const double whole_m2 = (box_.x_max_m - box_.x_min_m) * (box_.y_max_m - box_.y_min_m);
    const double cell_m =
        std::ceil(std::sqrt(whole_m2 / static_cast<double>(kUsualPlaces)) / 100) * 100;
    return std::max(cell_m, 1.0);
  }

 private:
  bool holds(const MetricPoint& place) const {
    if (hull_.distance_m(place) <= 0) return true;
    return std::ranges::any_of(
        areas_, [&place](const Area& area) { return contains(area.polygon, place); });
  }

  std::span<const Area> areas_;
  ConvexHull hull_;
  MetricBounds box_;
};

}  // namespace

TypicalStorm typical_storm(std::span<const MetricPoint> gauges, const FieldRecord& totals,
                           int threads) {
  GAUGELOOM_ASSERT(gauges.size() == totals.points);
  TypicalStorm storm;
  double sum_mm = 0;
  for (std::size_t s = 0; s < totals.steps; ++s) {
    double field_mm = 0;
    std::size_t count = 0;
    for (std::size_t g = 0; g < totals.points; ++g) {
      const auto total = static_cast<double>(totals.row(g)[s]);
      if (std::isnan(total)) continue;
      field_mm += total;
      ++count;
    }
    if (count < 2 || field_mm <= 0) continue;
    sum_mm += field_mm / static_cast<double>(count);
    ++storm.storms;
  }
  if (storm.storms == 0)
    throw Error(ErrorCode::inconsistent_input,
                "the record holds no storm with totals at two gauges: it does not say how rain "
                "differs from place to place; give a longer one");
  storm.mean_mm = sum_mm / static_cast<double>(storm.storms);
  const double variance = mean_field_variance(totals);
  storm.spread_mm = std::sqrt(variance);
  const ClimatologicalVariogram scaled =
      climatological_variogram(gauges, totals, kStormHours, std::nullopt, threads);
  storm.variogram = depth_variogram(scaled, variance, {}).variogram;
  storm.learned = scaled.learned;
  return storm;
}

BlindSpots find_blind_spots(std::span<const MetricPoint> gauges, std::span<const double> variance,
                            std::span<const Area> areas, const Variogram& variogram,
                            const BlindSpotOptions& options) {
  const Region region(gauges, areas);
  BlindSpots found;
  found.grid = region.grid(options.cell_m.value_or(region.usual_cell_m()));
  if (found.grid.cell_count() > 20 * kMostPlaces)
    throw Error(ErrorCode::invalid_option,
                fmt::format("cells of {} m are too many to hold against each other; take cells of "
                            "{:.0f} m or more",
                            *options.cell_m, region.usual_cell_m()));
  found.cells = region.cells(found.grid);
  if (found.cells.size() > kMostPlaces || found.cells.empty())
    throw Error(ErrorCode::invalid_option,
                fmt::format("cells of {} m make {} places; take a size that makes 1 to {}, such as "
                            "{:.0f} m",
                            found.grid.cell_width_m, found.cells.size(), kMostPlaces,
                            region.usual_cell_m()));
  std::vector<MetricPoint> places;
  for (std::size_t i = 0; i < found.cells.size(); ++i) places.push_back(found.place(i));
  std::vector<std::vector<MetricPoint>> blocks;
  for (const Area& area : areas) blocks.push_back(about_grid_points(area.polygon, kAreaPoints));
  found.design =
      network_design(gauges, variance, places, blocks, variogram, options.new_gauge_variance_mm2);
  return found;
}

double point_error_mm(double variance_mm2, const Variogram& variogram) {
  return std::sqrt(std::max(0.0, variance_mm2) + variogram.nugget);
}

std::size_t best_place(const DesignTarget& target) {
  return static_cast<std::size_t>(std::ranges::min_element(target.with) - target.with.begin());
}

}  // namespace gaugeloom
