#include "gaugeloom/report/storm_picture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/storms/rain_classes.hpp"
#include "io/palette_png_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::uint32_t kClear = 0x00FF00;  // no colour of the ramp
constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

// Latitude as the web's Mercator projection has it, on a sphere of radius 1, and back.
double mercator_of(double lat_deg) {
  return std::asinh(std::tan(lat_deg * std::numbers::pi / 180));
}
double latitude_of(double mercator) {
  return std::atan(std::sinh(mercator)) * 180 / std::numbers::pi;
}

struct Edges {
  double south = std::numeric_limits<double>::infinity();
  double west = std::numeric_limits<double>::infinity();
  double north = -std::numeric_limits<double>::infinity();
  double east = -std::numeric_limits<double>::infinity();
};

// The box around the grid in degrees, from points along its rim.
Edges edges_in_degrees(const PictureGround& ground, const CrsTransform& from_degrees) {
  constexpr int kParts = 16;
  const MetricBounds box = ground.grid.bounds();
  Edges edges;
  const auto take = [&](double x_m, double y_m) {
    const CrsPoint place = from_degrees.inverse(
        CrsPoint{x_m * ground.units_per_metre_x, y_m * ground.units_per_metre_y});
    edges.west = std::min(edges.west, place.x);
    edges.east = std::max(edges.east, place.x);
    edges.south = std::min(edges.south, place.y);
    edges.north = std::max(edges.north, place.y);
  };
  for (int i = 0; i <= kParts; ++i) {
    const double x_m = std::lerp(box.x_min_m, box.x_max_m, i / double{kParts});
    const double y_m = std::lerp(box.y_min_m, box.y_max_m, i / double{kParts});
    take(x_m, box.y_min_m);
    take(x_m, box.y_max_m);
    take(box.x_min_m, y_m);
    take(box.x_max_m, y_m);
  }
  return edges;
}

std::uint32_t colour_of(std::span<const double> bounds_mm, double total_mm) {
  const Rgb rgb = class_colour(class_of(bounds_mm, total_mm), bounds_mm.size() - 1);
  return static_cast<std::uint32_t>(rgb.red) << 16U | static_cast<std::uint32_t>(rgb.green) << 8U |
         rgb.blue;
}

}  // namespace

Rgb class_colour(std::size_t i, std::size_t classes) {
  return rain_colour(classes < 2 ? 0 : static_cast<double>(i) / static_cast<double>(classes - 1));
}

PictureFrame::PictureFrame(const PictureGround& ground, std::size_t longer_side)
    : columns_(ground.grid.columns), rows_(ground.grid.rows) {
  const bool on_earth = ground.crs != kLocalCrs;
  const CrsTransform from_degrees(on_earth ? kLonLatCrs : kLocalCrs, ground.crs);
  const MetricBounds box = ground.grid.bounds();
  Edges edges{box.y_min_m, box.x_min_m, box.y_max_m, box.x_max_m};
  if (on_earth) edges = edges_in_degrees(ground, from_degrees);
  south_ = edges.south, west_ = edges.west, north_ = edges.north, east_ = edges.east;
  const double top = on_earth ? mercator_of(north_) : north_;
  const double bottom = on_earth ? mercator_of(south_) : south_;
  const double wide = on_earth ? (east_ - west_) * std::numbers::pi / 180 : east_ - west_;
  const double pixel = std::max(wide, top - bottom) / static_cast<double>(longer_side);
  width_ = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(wide / pixel)));
  height_ = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround((top - bottom) / pixel)));
  std::vector<CrsPoint> places;
  for (std::size_t row = 0; row < height_; ++row) {
    const double y =
        std::lerp(top, bottom, (static_cast<double>(row) + 0.5) / static_cast<double>(height_));
    for (std::size_t column = 0; column < width_; ++column)
      places.push_back(
          {std::lerp(west_, east_,
                     (static_cast<double>(column) + 0.5) / static_cast<double>(width_)),
           on_earth ? latitude_of(y) : y});
  }
  if (on_earth) places = from_degrees.forward(places);
  const double unit_x = on_earth ? ground.units_per_metre_x : 1;
  const double unit_y = on_earth ? ground.units_per_metre_y : 1;
  for (const CrsPoint& place : places)
    cells_.push_back({(place.x / unit_x - ground.grid.x_min_m) / ground.grid.cell_width_m - 0.5,
                      (ground.grid.y_max_m - place.y / unit_y) / ground.grid.cell_height_m - 0.5});
}

float PictureFrame::value(std::span<const float> totals_mm, const MetricPoint& cell) const {
  const double column = std::floor(cell.x_m + 0.5), row = std::floor(cell.y_m + 0.5);
  if (!(column >= 0 && row >= 0 && column < static_cast<double>(columns_) &&
        row < static_cast<double>(rows_)))
    return kNan;
  const auto at = [&](double c, double r) {
    return 1.0 *
           totals_mm[static_cast<std::size_t>(std::clamp(r, 0.0, static_cast<double>(rows_ - 1))) *
                         columns_ +
                     static_cast<std::size_t>(
                         std::clamp(c, 0.0, static_cast<double>(columns_ - 1)))];
  };
  const double left = std::floor(cell.x_m), up = std::floor(cell.y_m);
  const double x = cell.x_m - left, y = cell.y_m - up;
  // lerp: equal ends stay what they are, so that no rounding opens another class.
  const double mixed = std::lerp(std::lerp(at(left, up), at(left + 1, up), x),
                                 std::lerp(at(left, up + 1), at(left + 1, up + 1), x), y);
  return static_cast<float>(std::isnan(mixed) ? at(column, row) : mixed);
}

StormPicture PictureFrame::picture(std::size_t storm, std::span<const float> totals_mm) const {
  GAUGELOOM_ASSERT(totals_mm.size() == columns_ * rows_);
  std::vector<float> values;
  float lowest = std::numeric_limits<float>::infinity(), highest = 0;
  for (const MetricPoint& cell : cells_) {
    values.push_back(value(totals_mm, cell));
    if (std::isnan(values.back())) continue;
    lowest = std::min(lowest, values.back());
    highest = std::max(highest, values.back());
  }
  StormPicture one{storm, {}, south_, west_, north_, east_, {}};
  one.bounds_mm = class_bounds_mm(std::min(lowest, highest), highest);
  std::vector<std::uint32_t> pixels;
  for (const float depth : values)
    pixels.push_back(std::isnan(depth) ? kClear : colour_of(one.bounds_mm, depth));
  one.png = palette_png(width_, height_, pixels, kClear);
  return one;
}

}  // namespace gaugeloom
