#include "support/demo_land.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/geo/work_crs.hpp"

namespace gaugeloom::support {
namespace {

struct Hill {
  double x_km, y_km, radius_km, height_m;
};

constexpr Hill kHills[] = {{44, 40, 22, 420}, {18, 45, 18, 310}, {50, 14, 15, 260},
                           {31, 31, 12, 120}, {8, 30, 13, 150},  {29, 3, 12, 140}};

// Corners in km from the origin. The catchments meet at two confluences, (20,16) and (34,26).
struct Outline {
  const char* id;
  const char* name;
  std::vector<MetricPoint> corners_km;
};

std::vector<Outline> outlines() {
  return {
      {"C1",
       "Nether Vels",
       {{4, 26}, {6, 16}, {4, 6}, {12, 3}, {20, 5}, {22, 10}, {20, 16}, {14, 20}}},
      {"C2",
       "Brevv Water",
       {{20, 5}, {29, 3}, {38, 6}, {40, 11}, {36, 18}, {34, 26}, {27, 20}, {20, 16}, {22, 10}}},
      {"C3",
       "Orvl Beck",
       {{38, 6}, {47, 4}, {53, 10}, {51, 18}, {54, 26}, {42, 24}, {34, 26}, {36, 18}, {40, 11}}},
      {"C4",
       "Thorv Head",
       {{54, 26}, {52, 34}, {54, 42}, {46, 45}, {38, 43}, {30, 46}, {33, 35}, {34, 26}, {42, 24}}},
      {"C5",
       "Ildr Fells",
       {{30, 46},
        {22, 44},
        {13, 46},
        {6, 42},
        {8, 34},
        {4, 26},
        {14, 20},
        {20, 16},
        {27, 20},
        {34, 26},
        {33, 35}}},
  };
}

bool before(const MetricPoint& a, const MetricPoint& b) {
  return a.x_m < b.x_m || (a.x_m == b.x_m && a.y_m < b.y_m);
}

// Bends a straight edge by moving its middle sideways, again and again. Both neighbours of an edge
// get the same points, since it is always bent from its lower end.
void bend(const MetricPoint& from, const MetricPoint& to, int depth, Ring& into) {
  if (depth == 0) return;
  const auto key = [](const MetricPoint& point) {
    return static_cast<std::uint64_t>(point.x_m * 8191 + point.y_m);
  };
  const double share = 0.24 * (keyed_uniform(97, key(from), key(to)) - 0.5);
  const MetricPoint middle{std::round((from.x_m + to.x_m) / 2 - share * (to.y_m - from.y_m)),
                           std::round((from.y_m + to.y_m) / 2 + share * (to.x_m - from.x_m))};
  bend(from, middle, depth - 1, into);
  into.push_back(middle);
  bend(middle, to, depth - 1, into);
}

Ring bent_ring(const std::vector<MetricPoint>& corners_km) {
  Ring ring;
  for (std::size_t i = 0; i < corners_km.size(); ++i) {
    const auto place = [&](std::size_t corner) {
      const MetricPoint& km = corners_km[corner % corners_km.size()];
      return MetricPoint{kDemoOrigin.x_m + 1000 * km.x_m, kDemoOrigin.y_m + 1000 * km.y_m};
    };
    const MetricPoint from = place(i), to = place(i + 1);
    ring.push_back(from);
    Ring between;
    if (before(from, to)) {
      bend(from, to, 3, between);
    } else {
      bend(to, from, 3, between);
      std::reverse(between.begin(), between.end());
    }
    ring.insert(ring.end(), between.begin(), between.end());
  }
  return ring;
}

}  // namespace

double demo_elevation_m(const MetricPoint& place) {
  const double x_km = (place.x_m - kDemoOrigin.x_m) / 1000;
  const double y_km = (place.y_m - kDemoOrigin.y_m) / 1000;
  double height = 60 + 2.2 * std::max(0.0, y_km) + 1.1 * std::max(0.0, x_km);
  for (const Hill& hill : kHills) {
    const double dx = (x_km - hill.x_km) / hill.radius_km, dy = (y_km - hill.y_km) / hill.radius_km;
    const double out = std::max(0.0, 1 - dx * dx - dy * dy);
    height += hill.height_m * out * out;
  }
  return height;
}

ElevationGrid demo_elevation_grid() {
  ElevationGrid grid;
  grid.west_m = kDemoOrigin.x_m - 8000;
  grid.columns = 74;
  grid.rows = 66;
  grid.north_m = kDemoOrigin.y_m - 8000 + grid.cell_m * grid.rows;
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column)
      grid.elevation_m.push_back(static_cast<float>(
          std::round(demo_elevation_m({grid.west_m + (column + 0.5) * grid.cell_m,
                                       grid.north_m - (row + 0.5) * grid.cell_m}))));
  return grid;
}

std::vector<Area> demo_catchments() {
  std::vector<Area> areas;
  for (const Outline& outline : outlines())
    areas.push_back(
        {outline.id, outline.name, Polygon{{PolygonPart{bent_ring(outline.corners_km), {}}}}});
  return areas;
}

std::string catchments_geojson(const DemoBasin& basin) {
  const CrsTransform to_degrees(basin.network.working_crs, kLonLatCrs);
  std::string text = "{\"type\": \"FeatureCollection\", \"features\": [\n";
  for (std::size_t i = 0; i < basin.catchments.size(); ++i) {
    const Area& area = basin.catchments[i];
    text += fmt::format(
        "{{\"type\": \"Feature\", \"properties\": {{\"catchment\": \"{}\", \"name\": \"{}\"}}, "
        "\"geometry\": {{\"type\": \"Polygon\", \"coordinates\": [[",
        area.id, area.name);
    Ring ring = area.polygon.parts.front().outer;
    ring.push_back(ring.front());
    for (std::size_t corner = 0; corner < ring.size(); ++corner) {
      const CrsPoint place = to_degrees.forward(CrsPoint{ring[corner].x_m, ring[corner].y_m});
      text += fmt::format("{}[{:.6f}, {:.6f}]", corner == 0 ? "" : ", ", place.x, place.y);
    }
    text += fmt::format("]]}}}}{}\n", i + 1 < basin.catchments.size() ? "," : "");
  }
  return text + "]}\n";
}

}  // namespace gaugeloom::support
