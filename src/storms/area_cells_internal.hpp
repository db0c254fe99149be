#pragma once
// The points that stand for an area as cells of a grid, so that a map fills them at once. Internal.

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/storms/rain_map.hpp"

namespace gaugeloom {

class AreaCells {
 public:
  // About `count` points, those of about_grid_points and in their order.
  AreaCells(const Polygon& polygon, std::size_t count)
      : points_(about_grid_points(polygon, count)) {
    const double area = area_m2(polygon);
    const double side_m = area > 0 ? std::sqrt(area / static_cast<double>(count)) : 1;
    const MetricBounds box = bounds_around(points_, 0);
    const auto cells_to = [side_m](double from, double to) {
      return static_cast<std::size_t>(std::lround((to - from) / side_m));
    };
    grid_ = {box.x_min_m - side_m / 2,
             box.y_max_m + side_m / 2,
             side_m,
             side_m,
             cells_to(box.x_min_m, box.x_max_m) + 1,
             cells_to(box.y_min_m, box.y_max_m) + 1};
    for (const MetricPoint& point : points_)
      cells_.push_back(cells_to(point.y_m, box.y_max_m) * grid_.columns +
                       cells_to(box.x_min_m, point.x_m));
  }

  const std::vector<MetricPoint>& points() const { return points_; }
  // What the map has at each point, NaN without support.
  std::vector<double> totals_mm(const RainMap& map) const {
    std::vector<float> whole(grid_.cell_count());
    map.fill(grid_, {0, 0, grid_.columns, grid_.rows}, std::array{MapBand::total}, whole);
    std::vector<double> totals;
    for (const std::size_t cell : cells_) totals.push_back(static_cast<double>(whole[cell]));
    return totals;
  }

 private:
  std::vector<MetricPoint> points_;
  Grid grid_;
  std::vector<std::size_t> cells_;  // of the points
};

}  // namespace gaugeloom
