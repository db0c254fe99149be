#include <algorithm>
#include <limits>

#include "storms/hull_internal.hpp"

namespace gaugeloom {
namespace {

// Twice the area of the triangle; above 0 when c lies left of the way from a to b.
double turn(const MetricPoint& a, const MetricPoint& b, const MetricPoint& c) {
  return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m);
}

double segment_distance_m(const MetricPoint& a, const MetricPoint& b, const MetricPoint& point) {
  const double dx = b.x_m - a.x_m;
  const double dy = b.y_m - a.y_m;
  const double square = dx * dx + dy * dy;
  const double along =
      square > 0 ? ((point.x_m - a.x_m) * dx + (point.y_m - a.y_m) * dy) / square : 0;
  const double share = std::clamp(along, 0.0, 1.0);
  return gaugeloom::distance_m(point, {a.x_m + share * dx, a.y_m + share * dy});
}

// The lower half of the hull of points sorted from left to right, or the upper half of the reverse.
void add_half(std::vector<MetricPoint>& corners, std::span<const MetricPoint> sorted) {
  const std::size_t first = corners.size();
  for (const MetricPoint& point : sorted) {
    while (corners.size() >= first + 2 &&
           turn(corners[corners.size() - 2], corners.back(), point) <= 0)
      corners.pop_back();
    corners.push_back(point);
  }
  corners.pop_back();  // it begins the other half
}

}  // namespace

ConvexHull::ConvexHull(std::span<const MetricPoint> points) {
  std::vector<MetricPoint> sorted(points.begin(), points.end());
  const auto before = [](const MetricPoint& a, const MetricPoint& b) {
    return a.x_m != b.x_m ? a.x_m < b.x_m : a.y_m < b.y_m;
  };
  std::sort(sorted.begin(), sorted.end(), before);
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  if (sorted.size() == 1) {
    corners_ = sorted;
    return;
  }
  add_half(corners_, sorted);
  std::reverse(sorted.begin(), sorted.end());
  add_half(corners_, sorted);
}

bool ConvexHull::contains(const MetricPoint& point) const {
  if (corners_.size() < 3) return false;
  for (std::size_t i = 0; i < corners_.size(); ++i)
    if (turn(corners_[i], corners_[(i + 1) % corners_.size()], point) < 0) return false;
  return true;
}

bool ConvexHull::contains_box(const MetricPoint& a, const MetricPoint& b) const {
  return contains(a) && contains(b) && contains({a.x_m, b.y_m}) && contains({b.x_m, a.y_m});
}

double ConvexHull::distance_m(const MetricPoint& point) const {
  if (contains(point)) return 0;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < corners_.size(); ++i)
    nearest = std::min(nearest,
                       segment_distance_m(corners_[i], corners_[(i + 1) % corners_.size()], point));
  return nearest;
}

}  // namespace gaugeloom
