#include "map_raster.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "gaugeloom/geo/work_crs.hpp"

namespace gaugeloom {
namespace {

constexpr double kDefaultCells = 4e6;    // at most, where --cell-m is not given
constexpr double kCellsPerSpacing = 20;  // our choice: smooth to the eye

[[noreturn]] void misuse(const std::string& sentence) {
  throw Error(ErrorCode::invalid_option, sentence);
}

std::vector<std::string> parts_of(const std::string& text) {
  std::vector<std::string> parts;
  std::istringstream stream(text);
  for (std::string part; std::getline(stream, part, ',');) parts.push_back(part);
  return parts;
}

// The round number (1, 2 or 5 times a power of ten) next to `value` from below.
double round_down(double value) {
  double power = 1e-3;
  while (power * 10 <= value) power *= 10;
  return value >= 5 * power ? 5 * power : value >= 2 * power ? 2 * power : power;
}

double next_round(double value) {
  for (const double factor : {1.5, 2.0, 2.5})
    if (round_down(value * factor) > value) return round_down(value * factor);
  return 2 * value;
}

MetricBounds parse_bounds(const std::string& text) {
  const auto parts = parts_of(text);
  if (parts.size() != 4) misuse("--bounds " + text + " must be four numbers: W,S,E,N");
  const MetricBounds bounds{parse_real("bounds", parts[0]), parse_real("bounds", parts[1]),
                            parse_real("bounds", parts[2]), parse_real("bounds", parts[3])};
  if (!(bounds.x_min_m < bounds.x_max_m) || !(bounds.y_min_m < bounds.y_max_m))
    misuse("--bounds " + text + " enclose nothing; west must be below east, south below north");
  return bounds;
}

std::vector<MapBand> parse_bands(const std::string& text) {
  std::vector<MapBand> bands;
  for (const std::string& part : parts_of(text)) {
    const auto band = parse_map_band(part);
    if (!band)
      misuse(fmt::format(
          "--bands {}: \"{}\" is no band; use total, error, low, high, distance, support", text,
          part));
    if (std::ranges::find(bands, *band) != bands.end())
      misuse(fmt::format("--bands {}: {} stands there twice", text, part));
    bands.push_back(*band);
  }
  if (bands.empty()) misuse("--bands needs at least one band");
  return bands;
}

}  // namespace

void MapRasterInput::declare(OptionList& options) {
  options.heading("Raster");
  options.real("cell-m", "METRES", cell_m, {1e-3, 1e7},
               "Side of a cell in metres; default a twentieth of the median spacing of the gauges, "
               "rounded, with at most 4 million cells.");
  options
      .add("bounds", "W,S,E,N",
           "Edges of the map in metres of its CRS; default the gauges and one spacing around "
           "them.")
      .set = [this](const std::string& text) { bounds = parse_bounds(text); };
  options.text("map-crs", "CRS", map_crs,
               "Metric CRS of the map, in which distances are then computed too; default the "
               "working CRS.");
  options.path("like", "RASTER", like,
               "Any raster that GDAL opens, north up, in metres, feet or degrees: the map gets its "
               "cells and its CRS.");
  options
      .add("bands", "WORD,...",
           "Bands of the file, in the order of the list: total, error, low, high, distance, "
           "support.",
           "total,error,low,high,distance,support")
      .set = [this](const std::string& text) { bands = parse_bands(text); };
}

void MapRasterInput::settle(NetworkInput& network) const {
  if (!like.empty() && (cell_m || bounds || !map_crs.empty()))
    misuse("--like says the cells and the CRS; leave --cell-m, --bounds and --map-crs out");
  if (map_crs.empty()) return;
  if (!network.work_crs.empty() && map_crs != network.work_crs)
    misuse("the map is computed in its own CRS; give --map-crs or --work-crs, not both");
  network.work_crs = map_crs;
}

MapPlane MapRasterInput::plane(const Network& network) const {
  MapPlane plane{network.working_crs, {}, std::nullopt};
  for (const Gauge& gauge : network.gauges) plane.points.push_back(gauge.position);
  if (like.empty()) return plane;
  plane.like = read_raster_frame(like);
  plane.crs = plane.like->crs;
  const CrsTransform to_raster(network.working_crs, plane.crs);
  for (MetricPoint& point : plane.points) {
    const CrsPoint place = to_raster.forward(CrsPoint{point.x_m, point.y_m});
    point = plane.like->on_plane(place.x, place.y);
    if (!to_raster.is_identity())  // to the mm, so that the last bit depends on no processor
      point = {std::round(point.x_m * 1000) / 1000, std::round(point.y_m * 1000) / 1000};
  }
  return plane;
}

Grid MapRasterInput::grid(const MapPlane& plane, std::span<const MetricPoint> points) const {
  if (plane.like) return plane.like->grid;
  const double spacing_m = std::max(median_spacing_m(points), 1.0);
  MetricBounds box = bounds.value_or(bounds_around(points, spacing_m));
  const auto cells = [&box](double side_m) {
    return (box.x_max_m - box.x_min_m) / side_m * ((box.y_max_m - box.y_min_m) / side_m);
  };
  double side_m = cell_m.value_or(round_down(spacing_m / kCellsPerSpacing));
  while (!cell_m && cells(side_m) > kDefaultCells) side_m = next_round(side_m);
  if (!bounds) {
    box.x_min_m = std::floor(box.x_min_m / side_m) * side_m;
    box.y_max_m = std::ceil(box.y_max_m / side_m) * side_m;
  }
  return grid_over(box, side_m);
}

void georeference(const MapPlane& plane, GeoTiffOptions& options) {
  options.crs = plane.crs;
  if (plane.like) options.cells = plane.like->cells;
}

std::string cells_in_words(const MapPlane& plane, const Grid& grid) {
  const std::string count = fmt::format("{} x {} cells", grid.columns, grid.rows);
  if (!plane.like) return fmt::format("{} of {} m", count, grid.cell_width_m);
  return fmt::format("{} as the raster has them, some {:.0f} x {:.0f} m", count, grid.cell_width_m,
                     grid.cell_height_m);
}

}  // namespace gaugeloom
