#pragma once
// Polygons in the working CRS: catchments and the cells of gauges.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

// Corners in order, either way round; the first corner is not repeated at the end.
using Ring = std::vector<MetricPoint>;

struct PolygonPart {
  Ring outer;
  std::vector<Ring> holes;
};

// One or more parts that do not overlap; islands are parts.
struct Polygon {
  std::vector<PolygonPart> parts;
};

// A named polygon: a catchment.
struct Area {
  std::string id;
  std::string name;  // may be empty
  Polygon polygon;
};

struct Box {
  double min_x_m = 0;
  double min_y_m = 0;
  double max_x_m = 0;
  double max_y_m = 0;
};

// Why a polygon cannot be used (too few corners, crossing edges, parts that overlap), as a sentence
// with the place; or nothing. Cost: n log n in the corners.
std::optional<std::string> problem(const Polygon& polygon);

// Area of the parts without their holes. Exact up to rounding (shoelace formula).
double area_m2(const Polygon& polygon);
// Requires at least one corner.
Box bounds(const Polygon& polygon);
// True inside; on an edge it may be either, but of two polygons that share an edge exactly one
// contains each point of it (even-odd rule, half-open). Cost: one pass over the corners.
bool contains(const Polygon& polygon, const MetricPoint& point);

// A regular grid of points inside the polygon, for block kriging: the cell centres of a square grid
// laid on whole multiples of `spacing_m`, so that neighbouring polygons share one grid. Sorted by
// y, then x. A polygon too thin to hold any gets one point inside it.
// Requires spacing_m > 0.
// Throws Error{invalid_option} beyond 10 million points.
std::vector<MetricPoint> grid_points(const Polygon& polygon, double spacing_m);

// The same with the spacing chosen so that about `count` points fall inside (count >= 1): spacing =
// sqrt(area / count).
std::vector<MetricPoint> about_grid_points(const Polygon& polygon, std::size_t count);

}  // namespace gaugeloom
