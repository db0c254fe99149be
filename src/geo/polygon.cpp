#include "gaugeloom/geo/polygon.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "geo/geos_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostGridPoints = 1e7;

// Twice the signed area, about the first corner so that large coordinates cost no digits.
double twice_area_m2(const Ring& ring) {
  double sum = 0;
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
    const double ax = ring[i].x_m - ring[0].x_m, ay = ring[i].y_m - ring[0].y_m;
    const double bx = ring[i + 1].x_m - ring[0].x_m, by = ring[i + 1].y_m - ring[0].y_m;
    sum += ax * by - bx * ay;
  }
  return sum;
}

// Whether a ray to the east from `point` crosses the ring an odd number of times.
bool crosses_oddly(const Ring& ring, const MetricPoint& point) {
  bool odd = false;
  for (std::size_t i = 0, before = ring.size() - 1; i < ring.size(); before = i++) {
    // The lower end first, so that both neighbours of a shared edge compute the same.
    const MetricPoint* low = &ring[before];
    const MetricPoint* high = &ring[i];
    if (low->y_m > high->y_m) std::swap(low, high);
    if (point.y_m < low->y_m || point.y_m >= high->y_m) continue;
    const double share = (point.y_m - low->y_m) / (high->y_m - low->y_m);
    if (point.x_m < low->x_m + share * (high->x_m - low->x_m)) odd = !odd;
  }
  return odd;
}

template <class Visit>
void for_each_ring(const Polygon& polygon, Visit visit) {
  for (const PolygonPart& part : polygon.parts) {
    if (!part.outer.empty()) visit(part.outer);
    for (const Ring& hole : part.holes)
      if (!hole.empty()) visit(hole);
  }
}

MetricPoint point_inside(const Polygon& polygon) {
  const geos::Context context;
  const geos::Geometry geometry = geos::to_geos(context, polygon);
  const geos::Geometry point =
      geos::own(context, GEOSPointOnSurface_r(context.get(), geometry.get()));
  MetricPoint inside;
  if (!point || GEOSisEmpty_r(context.get(), point.get()))
    context.fail("no point inside a polygon was found");
  GEOSGeomGetX_r(context.get(), point.get(), &inside.x_m);
  GEOSGeomGetY_r(context.get(), point.get(), &inside.y_m);
  return inside;
}

}  // namespace

std::optional<std::string> problem(const Polygon& polygon) {
  if (polygon.parts.empty()) return "the polygon is empty";
  std::optional<std::string> found;
  for_each_ring(polygon, [&](const Ring& ring) {
    if (ring.size() < 3) found = "a ring has fewer than three corners";
    for (const MetricPoint& corner : ring)
      if (!std::isfinite(corner.x_m) || !std::isfinite(corner.y_m))
        found = "a corner is not a finite number";
  });
  for (const PolygonPart& part : polygon.parts)
    if (part.outer.empty()) found = "a part has no outer ring";
  if (found) return found;
  const geos::Context context;
  const geos::Geometry geometry = geos::to_geos(context, polygon);
  char* reason = nullptr;
  GEOSGeometry* place = nullptr;
  const char valid = GEOSisValidDetail_r(context.get(), geometry.get(), 0, &reason, &place);
  if (valid != 1) {
    double x = 0, y = 0;
    if (place != nullptr) {
      GEOSGeomGetX_r(context.get(), place, &x);
      GEOSGeomGetY_r(context.get(), place, &y);
    }
    found = fmt::format("{} near x {:.0f} m, y {:.0f} m",
                        reason == nullptr ? "the polygon is invalid" : reason, x, y);
  }
  if (reason != nullptr) GEOSFree_r(context.get(), reason);
  if (place != nullptr) GEOSGeom_destroy_r(context.get(), place);
  return found;
}

double area_m2(const Polygon& polygon) {
  double sum = 0;
  for (const PolygonPart& part : polygon.parts) {
    sum += std::abs(twice_area_m2(part.outer));
    for (const Ring& hole : part.holes) sum -= std::abs(twice_area_m2(hole));
  }
  return sum / 2;
}

Box bounds(const Polygon& polygon) {
  Box box{HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
  for_each_ring(polygon, [&](const Ring& ring) {
    for (const MetricPoint& corner : ring) {
      box.min_x_m = std::min(box.min_x_m, corner.x_m);
      box.min_y_m = std::min(box.min_y_m, corner.y_m);
      box.max_x_m = std::max(box.max_x_m, corner.x_m);
      box.max_y_m = std::max(box.max_y_m, corner.y_m);
    }
  });
  GAUGELOOM_ASSERT(box.min_x_m <= box.max_x_m);
  return box;
}

bool contains(const Polygon& polygon, const MetricPoint& point) {
  bool inside = false;
  for_each_ring(polygon, [&](const Ring& ring) {
    if (crosses_oddly(ring, point)) inside = !inside;
  });
  return inside;
}

std::vector<MetricPoint> grid_points(const Polygon& polygon, double spacing_m) {
  GAUGELOOM_ASSERT(spacing_m > 0);
  const Box box = bounds(polygon);
  const double first_column = std::floor(box.min_x_m / spacing_m);
  const double first_row = std::floor(box.min_y_m / spacing_m);
  const double columns = std::floor(box.max_x_m / spacing_m) - first_column + 1;
  const double rows = std::floor(box.max_y_m / spacing_m) - first_row + 1;
  if (columns * rows > kMostGridPoints)
    throw Error(ErrorCode::invalid_option,
                fmt::format("a grid of {} m over an area of {:.0f} km2 has more than 10 million "
                            "points; choose a wider spacing",
                            spacing_m, area_m2(polygon) * 1e-6));
  std::vector<MetricPoint> points;
  for (double row = 0; row < rows; row += 1)
    for (double column = 0; column < columns; column += 1) {
      const MetricPoint point{(first_column + column + 0.5) * spacing_m,
                              (first_row + row + 0.5) * spacing_m};
      if (contains(polygon, point)) points.push_back(point);
    }
  if (points.empty()) points.push_back(point_inside(polygon));
  return points;
}

std::vector<MetricPoint> about_grid_points(const Polygon& polygon, std::size_t count) {
  GAUGELOOM_ASSERT(count >= 1);
  const double area = area_m2(polygon);
  if (!(area > 0)) return {point_inside(polygon)};
  return grid_points(polygon, std::sqrt(area / static_cast<double>(count)));
}

}  // namespace gaugeloom
