#include "gaugeloom/geo/thiessen.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "geo/geos_internal.hpp"

namespace gaugeloom {
namespace {

// The gauges at each distinct spot, in order of x, then y.
using Spots = std::map<std::pair<double, double>, std::vector<std::size_t>>;

Spots spots_of(std::span<const MetricPoint> gauges) {
  Spots spots;
  for (std::size_t i = 0; i < gauges.size(); ++i)
    spots[{gauges[i].x_m, gauges[i].y_m}].push_back(i);
  return spots;
}

// Above 0 where `point` is nearer to `spot` than to `other`, 0 on the line between them.
double nearness(const MetricPoint& point, const MetricPoint& spot, const MetricPoint& other) {
  const double dx = spot.x_m - other.x_m, dy = spot.y_m - other.y_m;
  return dx * (point.x_m - (spot.x_m + other.x_m) / 2) +
         dy * (point.y_m - (spot.y_m + other.y_m) / 2);
}

// The part of a convex ring that is nearer to `spot` than to `other`.
Ring nearer_part(const Ring& ring, const MetricPoint& spot, const MetricPoint& other) {
  Ring kept;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const MetricPoint& from = ring[i];
    const MetricPoint& to = ring[(i + 1) % ring.size()];
    const double from_side = nearness(from, spot, other), to_side = nearness(to, spot, other);
    if (from_side >= 0) kept.push_back(from);
    if ((from_side > 0 && to_side < 0) || (from_side < 0 && to_side > 0)) {
      const double share = from_side / (from_side - to_side);
      kept.push_back(
          {from.x_m + share * (to.x_m - from.x_m), from.y_m + share * (to.y_m - from.y_m)});
    }
  }
  return kept;
}

double farthest_m(const Ring& ring, const MetricPoint& spot) {
  double farthest = 0;
  for (const MetricPoint& corner : ring) farthest = std::max(farthest, distance_m(corner, spot));
  return farthest;
}

// The cell of `spot` within a box. Others are taken in order of distance; one that is twice as far
// as the farthest corner of the cell, or more, cuts nothing off, nor does any after it.
Ring cell_within(const Box& box, const GaugeIndex& spots, const MetricPoint& spot) {
  Ring cell = {{box.min_x_m, box.min_y_m},
               {box.max_x_m, box.min_y_m},
               {box.max_x_m, box.max_y_m},
               {box.min_x_m, box.max_y_m}};
  std::size_t done = 1;  // the nearest is the spot itself
  for (std::size_t asked = 16; done < spots.size() && !cell.empty(); asked *= 4) {
    const auto others = spots.nearest(spot, asked);
    for (; done < others.size() && !cell.empty(); ++done) {
      if (others[done].distance_m > 2 * farthest_m(cell, spot)) return cell;
      cell = nearer_part(cell, spot, spots.points()[others[done].index]);
    }
  }
  return cell;
}

Polygon clipped_to(const geos::Context& context, const geos::Geometry& area, const Ring& cell) {
  if (cell.size() < 3) return {};
  const geos::Geometry convex = geos::to_geos(context, Polygon{{{cell, {}}}});
  const geos::Geometry common =
      geos::own(context, GEOSIntersection_r(context.get(), area.get(), convex.get()));
  if (!common) context.fail("the area cannot be clipped to the cell of a gauge");
  return geos::from_geos(context, common.get());
}

}  // namespace

std::vector<ThiessenCell> thiessen_cells(std::span<const MetricPoint> gauges, const Polygon& area) {
  GAUGELOOM_ASSERT(!gauges.empty());
  if (const auto broken = problem(area))
    throw Error(ErrorCode::inconsistent_input, *broken + "; repair the polygon");
  const geos::Context context;
  const geos::Geometry whole = geos::to_geos(context, area);
  const Box box = bounds(area);
  const Spots spots = spots_of(gauges);
  std::vector<MetricPoint> places;
  for (const auto& [spot, sharing] : spots) places.push_back({spot.first, spot.second});
  const GaugeIndex index(places);

  std::vector<ThiessenCell> cells(gauges.size());
  double total = 0;
  for (const auto& [spot, sharing] : spots) {
    const MetricPoint place{spot.first, spot.second};
    const Polygon shape = clipped_to(context, whole, cell_within(box, index, place));
    const double cell_m2 = area_m2(shape);
    total += cell_m2;
    for (const std::size_t gauge : sharing)
      cells[gauge] = {gauge, cell_m2 / static_cast<double>(sharing.size()), 0, shape};
  }
  for (ThiessenCell& cell : cells) cell.weight = cell.area_m2 / total;
  return cells;
}

}  // namespace gaugeloom
