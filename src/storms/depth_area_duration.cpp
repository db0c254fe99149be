#include "gaugeloom/storms/depth_area_duration.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <optional>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/storms/peak_depths.hpp"
#include "storms/area_cells_internal.hpp"
#include "storms/hull_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kFewestCells = 5;  // a smaller area is no more than a gauge
constexpr std::size_t kFewestGauges = 3;

// The gauges of a storm without a missing step, and the weights of the cells of their hull: none
// below 0, they tell the course of the rain there.
struct Ground {
  std::vector<std::size_t> gauges;
  double hull_km2 = 0;
  std::optional<AreaCells> hull;
  std::vector<double> cells_km2;      // all equal
  std::vector<KrigingWeights> cells;  // over `gauges`
};

bool has_all(const RainTable& depth, std::size_t gauge, StepAxis::Range steps) {
  for (std::size_t step = steps.first; step < steps.last; ++step)
    if (!depth.is_measured(gauge, step)) return false;
  return true;
}

Ground ground_of(std::span<const MetricPoint> gauges, std::vector<std::size_t> set,
                 const DepthAreaOptions& options) {
  Ground ground;
  std::vector<MetricPoint> places;
  for (const std::size_t gauge : set) places.push_back(gauges[gauge]);
  ground.gauges = std::move(set);
  if (places.size() < kFewestGauges) return ground;
  const ConvexHull hull(places);
  Polygon polygon;
  polygon.parts = {{Ring(hull.corners().begin(), hull.corners().end()), {}}};
  ground.hull_km2 = area_m2(polygon) / 1e6;
  if (!(ground.hull_km2 > 0)) return ground;  // all on one line
  ground.hull.emplace(polygon, options.cells);
  KrigingOptions kriging;
  kriging.negative_weights = NegativeWeights::drop;
  for (const MetricPoint& point : ground.hull->points())
    ground.cells.push_back(kriging_weights(places, {}, point, options.variogram, kriging));
  const std::size_t count = ground.cells.size();
  ground.cells_km2.assign(count, ground.hull_km2 / static_cast<double>(count));
  return ground;
}

// Sums from the begin of the storm: row by row of gauges or cells, steps + 1 of them.
struct Sums {
  std::size_t steps = 0;
  std::vector<double> gauges, cells;

  double gauge(std::size_t i, std::size_t first, std::size_t last) const {
    return gauges[i * (steps + 1) + last] - gauges[i * (steps + 1) + first];
  }
  double cell(std::size_t i, std::size_t first, std::size_t last) const {
    return cells[i * (steps + 1) + last] - cells[i * (steps + 1) + first];
  }
};

// Brings the course of a cell to the total that the map has there. Where the gauges that tell its
// course were dry and the map is not, that of all gauges takes its place.
void bring_to(double total_mm, std::span<const double> gauges, std::span<double> course) {
  if (total_mm != total_mm) return;
  if (!(course.back() > 0))
    for (std::size_t i = 0; i < gauges.size(); ++i) course[i % course.size()] += gauges[i];
  const double share = course.back() > 0 ? total_mm / course.back() : 0;
  for (double& mm : course) mm *= share;
}

Sums sums_of(const Ground& ground, const RainTable& depth, StepAxis::Range steps,
             const std::optional<RainMap>& map) {
  Sums sums;
  sums.steps = steps.last - steps.first;
  const std::size_t row = sums.steps + 1;
  sums.gauges.assign(ground.gauges.size() * row, 0);
  sums.cells.assign(ground.cells.size() * row, 0);
  for (std::size_t i = 0; i < ground.gauges.size(); ++i)
    for (std::size_t s = 0; s < sums.steps; ++s)
      sums.gauges[i * row + s + 1] =
          sums.gauges[i * row + s] +
          static_cast<double>(depth.depth_mm(ground.gauges[i], steps.first + s));
  std::vector<double> totals_mm(ground.cells.size(), kNan);
  if (map) totals_mm = ground.hull->totals_mm(*map);
  for (std::size_t c = 0; c < ground.cells.size(); ++c) {
    const std::span<double> course = std::span(sums.cells).subspan(c * row, row);
    const KrigingWeights& cell = ground.cells[c];
    for (std::size_t k = 0; k < cell.gauges.size(); ++k)
      for (std::size_t s = 1; s <= sums.steps; ++s)
        course[s] += cell.weights[k] * sums.gauges[cell.gauges[k] * row + s];
    bring_to(totals_mm[c], sums.gauges, course);
  }
  return sums;
}

std::vector<double> areas_of(const Ground& ground) {
  std::vector<double> areas{0};
  const double least = static_cast<double>(kFewestCells) * ground.cells_km2.front();
  for (double power = 1e-3; power < ground.hull_km2; power *= 10)
    for (const double factor : {1.0, 2.0, 5.0})
      if (factor * power >= least && factor * power < ground.hull_km2)
        areas.push_back(factor * power);
  areas.push_back(ground.hull_km2);
  return areas;
}

struct Most {
  double mm = -1;
  std::size_t first = 0;
};

void add_window(const Sums& sums, const Ground& ground, std::span<const double> areas,
                std::size_t first, std::size_t window, std::vector<double>& depths,
                std::vector<Most>& most) {
  const auto raise = [&](std::size_t area, double mm) {
    if (mm > most[area].mm) most[area] = {mm, first};
  };
  for (std::size_t g = 0; g < ground.gauges.size(); ++g)
    raise(0, sums.gauge(g, first, first + window));
  for (std::size_t c = 0; c < ground.cells.size(); ++c)
    depths[c] = sums.cell(c, first, first + window);
  std::sort(depths.begin(), depths.end(), std::greater<>());
  for (std::size_t a = 1; a < areas.size(); ++a)
    raise(a, depth_over_area(ground.cells_km2, depths, areas[a]));
}

std::vector<std::size_t> windows_of(std::size_t steps, std::chrono::seconds step) {
  std::vector<std::size_t> windows;
  for (const std::chrono::minutes duration : kStormDurations) {
    const std::chrono::seconds length = duration;
    if (length % step == std::chrono::seconds{0} && static_cast<std::size_t>(length / step) < steps)
      windows.push_back(static_cast<std::size_t>(length / step));
  }
  windows.push_back(steps);
  return windows;
}

void add_storm(const Ground& ground, const RainTable& depth, const Storm& storm,
               const std::optional<RainMap>& map, std::size_t index,
               std::vector<DepthAreaDuration>& rows) {
  if (ground.cells.size() < kFewestCells) return;
  const Sums sums = sums_of(ground, depth, storm.steps, map);
  const std::vector<double> areas = areas_of(ground);
  std::vector<double> depths(ground.cells.size());
  const StepAxis& axis = depth.axis();
  for (const std::size_t window : windows_of(sums.steps, axis.step())) {
    std::vector<Most> most(areas.size());
    for (std::size_t first = 0; first + window <= sums.steps; ++first)
      add_window(sums, ground, areas, first, window, depths, most);
    for (std::size_t a = 0; a < areas.size(); ++a) {
      if (a > 0 && most[a].mm > most[a - 1].mm) most[a] = most[a - 1];
      const std::size_t first = storm.steps.first + most[a].first;
      const auto length = axis.step() * static_cast<long>(window);
      rows.push_back({index,
                      std::chrono::floor<std::chrono::minutes>(length),
                      areas[a],
                      most[a].mm,
                      {axis.begin(first), axis.end(first + window - 1)}});
    }
  }
}

}  // namespace

double depth_over_area(std::span<const double> areas, std::span<const double> depths, double area) {
  GAUGELOOM_ASSERT(areas.size() == depths.size());
  double volume = 0;
  double left = area;
  for (std::size_t part = 0; part < areas.size() && left > 0; ++part) {
    const double taken = std::min(left, areas[part]);
    volume += taken * depths[part];
    left -= taken;
  }
  return area > 0 && left <= 1e-9 * area ? volume / area : kNan;
}

std::vector<DepthAreaDuration> depth_area_duration(std::span<const MetricPoint> gauges,
                                                   const RainTable& depth,
                                                   std::span<const Storm> storms,
                                                   const StormMaps& maps,
                                                   const DepthAreaOptions& options) {
  GAUGELOOM_ASSERT(gauges.size() == depth.gauge_count());
  std::vector<std::vector<DepthAreaDuration>> by_storm(storms.size());
  std::vector<std::size_t> all(gauges.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  const Ground whole = ground_of(gauges, all, options);
  parallel_for(storms.size(), options.threads, [&](std::size_t s) {
    std::vector<std::size_t> set;
    for (const std::size_t gauge : all)
      if (has_all(depth, gauge, storms[s].steps)) set.push_back(gauge);
    const std::optional<RainMap> map = maps(s);
    if (set == all)
      add_storm(whole, depth, storms[s], map, s, by_storm[s]);
    else
      add_storm(ground_of(gauges, set, options), depth, storms[s], map, s, by_storm[s]);
  });
  std::vector<DepthAreaDuration> rows;
  for (const auto& storm : by_storm) rows.insert(rows.end(), storm.begin(), storm.end());
  return rows;
}

}  // namespace gaugeloom
