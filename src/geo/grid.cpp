#include "gaugeloom/geo/grid.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

std::size_t cells_along(double length_m, double cell_m) {
  const double cells = std::ceil(length_m / cell_m - 1e-6);
  return cells < 1 ? 1 : static_cast<std::size_t>(cells);
}

// The smallest round cell (1, 2 or 5 times a power of ten) that keeps the grid within the limits.
double smallest_cell_m(double width_m, double height_m) {
  const auto fits = [&](double cell_m) {
    const double columns = std::ceil(width_m / cell_m);
    const double rows = std::ceil(height_m / cell_m);
    return columns <= static_cast<double>(kMaxGridSide) &&
           rows <= static_cast<double>(kMaxGridSide) &&
           columns * rows <= static_cast<double>(kMaxGridCells);
  };
  for (double power = 1e-3;; power *= 10)
    for (const double step : {1.0, 2.0, 5.0})
      if (fits(step * power)) return step * power;
}

}  // namespace

MetricBounds Grid::bounds() const {
  return {x_min_m, y_max_m - static_cast<double>(rows) * cell_height_m,
          x_min_m + static_cast<double>(columns) * cell_width_m, y_max_m};
}

std::optional<std::string> Grid::problem() const {
  if (!std::isfinite(x_min_m) || !std::isfinite(y_max_m))
    return "the corner of a grid must be finite";
  if (!(cell_width_m > 0) || !(cell_height_m > 0) || !std::isfinite(cell_width_m) ||
      !std::isfinite(cell_height_m))
    return fmt::format("the cells of a grid must have a size above 0 m, not {} x {} m",
                       cell_width_m, cell_height_m);
  if (columns == 0 || rows == 0) return "a grid needs at least one column and one row";
  if (columns > kMaxGridSide || rows > kMaxGridSide || columns * rows > kMaxGridCells)
    return fmt::format("a grid may have at most {} columns and rows and {} cells, not {} x {}",
                       kMaxGridSide, kMaxGridCells, columns, rows);
  return std::nullopt;
}

MetricBounds bounds_around(std::span<const MetricPoint> points, double margin_m) {
  GAUGELOOM_ASSERT(!points.empty());
  MetricBounds box{points[0].x_m, points[0].y_m, points[0].x_m, points[0].y_m};
  for (const MetricPoint& point : points) {
    box.x_min_m = std::min(box.x_min_m, point.x_m);
    box.y_min_m = std::min(box.y_min_m, point.y_m);
    box.x_max_m = std::max(box.x_max_m, point.x_m);
    box.y_max_m = std::max(box.y_max_m, point.y_m);
  }
  return {box.x_min_m - margin_m, box.y_min_m - margin_m, box.x_max_m + margin_m,
          box.y_max_m + margin_m};
}

Grid grid_over(const MetricBounds& bounds, double cell_m) {
  const double width_m = bounds.x_max_m - bounds.x_min_m;
  const double height_m = bounds.y_max_m - bounds.y_min_m;
  if (!(width_m > 0) || !(height_m > 0) || !std::isfinite(width_m) || !std::isfinite(height_m))
    throw Error(ErrorCode::invalid_option,
                fmt::format("the bounds {} {} {} {} enclose nothing; give west, south, east and "
                            "north in metres, west below east and south below north",
                            bounds.x_min_m, bounds.y_min_m, bounds.x_max_m, bounds.y_max_m));
  if (!(cell_m > 0) || !std::isfinite(cell_m))
    throw Error(ErrorCode::invalid_option,
                fmt::format("a cell of {} m is no cell; give a size above 0", cell_m));
  const double fitting_m = smallest_cell_m(width_m, height_m);
  if (cell_m < fitting_m &&
      (width_m / cell_m > static_cast<double>(kMaxGridSide) ||
       height_m / cell_m > static_cast<double>(kMaxGridSide) ||
       (width_m / cell_m) * (height_m / cell_m) > static_cast<double>(kMaxGridCells)))
    throw Error(ErrorCode::invalid_option,
                fmt::format("cells of {} m over {:.0f} x {:.0f} m are too many; take cells of "
                            "{} m or more, or smaller bounds",
                            cell_m, width_m, height_m, fitting_m));
  return {bounds.x_min_m,
          bounds.y_max_m,
          cell_m,
          cell_m,
          cells_along(width_m, cell_m),
          cells_along(height_m, cell_m)};
}

}  // namespace gaugeloom
