#include "gaugeloom/geo/work_crs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "geo/proj_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLargestStretch = 0.05;  // our choice: distances then err less than bucket sizes
constexpr double kPositionGridM = 1e-3;
constexpr double kDegreeGrid = 1e-8;

double rounded(double value, double grid) { return std::round(value / grid) * grid + 0.0; }

// How far lengths in a projected CRS depart from the ground at a place, as a share.
double stretch_at(const std::string& crs, const LonLat& place) {
  proj::Context context;
  const proj::Object part = proj::horizontal(context, proj::make_crs(context, crs));
  const PJ_FACTORS factors = proj_factors(
      part.get(), proj_coord(proj_torad(place.lon_deg), proj_torad(place.lat_deg), 0, 0));
  if (proj_errno(part.get()) != 0) return 0;  // not a projection PROJ can differentiate
  return std::max(std::abs(factors.meridional_scale - 1), std::abs(factors.parallel_scale - 1));
}

std::string stretch_sentence(const std::string& crs, double stretch) {
  return fmt::format(
      "CRS \"{}\" stretches distances by {:.0f} % at this network; choose a working CRS "
      "that is true to scale there, or leave --work-crs out",
      describe_crs(crs).name, 100 * stretch);
}

std::string choose_work_crs(const std::string& source_crs, const std::string& wish,
                            const LonLat& centre) {
  if (!wish.empty()) {
    const WorkCrs work = WorkCrs::from(wish);
    const double stretch = stretch_at(wish, centre);
    if (stretch > kLargestStretch)
      throw Error(ErrorCode::unsupported_crs, stretch_sentence(wish, stretch));
    return work.definition();
  }
  const bool keeps =
      describe_crs(source_crs).metric && stretch_at(source_crs, centre) <= kLargestStretch;
  return keeps ? source_crs : WorkCrs::centred_on(centre).definition();
}

std::vector<CrsPoint> convert_all(const CrsTransform& transform, std::span<const CrsPoint> points) {
  std::vector<CrsPoint> converted;
  converted.reserve(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    try {
      converted.push_back(transform.forward(points[i]));
    } catch (const Error& error) {
      throw Error(error.code(), fmt::format("point {}: {}", i + 1, error.what()));
    }
  }
  return converted;
}

Placement place_locally(std::span<const CrsPoint> points, const std::string& work_crs) {
  if (!work_crs.empty() && work_crs != kLocalCrs)
    throw Error(ErrorCode::unsupported_crs,
                fmt::format("the positions are plain metres (CRS \"local\") and cannot be "
                            "converted to \"{}\"; name their CRS with --crs",
                            work_crs));
  Placement placed{kLocalCrs, {}, {}};
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!std::isfinite(points[i].x) || !std::isfinite(points[i].y))
      throw Error(ErrorCode::malformed_input,
                  fmt::format("point {}: the coordinates must be finite numbers", i + 1));
    placed.positions.push_back({points[i].x, points[i].y});
  }
  return placed;
}

}  // namespace

CrsDescription describe_crs(const std::string& crs) {
  proj::Context context;
  const proj::Object part = proj::horizontal(context, proj::make_crs(context, crs));
  return {proj::name_of(part), proj::is_geographic(part), proj::is_metric(context, part)};
}

WorkCrs::WorkCrs(std::string definition) : definition_(std::move(definition)) {
  if (!is_local()) from_degrees_ = std::make_shared<CrsTransform>(kLonLatCrs, definition_);
}

WorkCrs WorkCrs::centred_on(const LonLat& centre) {
  return WorkCrs(
      fmt::format("+proj=laea +lat_0={:.2f} +lon_0={:.2f} +x_0=0 +y_0=0 +datum=WGS84 +units=m "
                  "+no_defs +type=crs",
                  rounded(centre.lat_deg, 0.01), rounded(centre.lon_deg, 0.01)));
}

WorkCrs WorkCrs::local() { return WorkCrs(kLocalCrs); }

WorkCrs WorkCrs::from(const std::string& crs) {
  if (crs == kLocalCrs) return local();
  const CrsDescription described = describe_crs(crs);
  if (!described.metric)
    throw Error(ErrorCode::unsupported_crs,
                fmt::format("CRS \"{}\" is not in metres, so no distance can be computed in it; "
                            "choose a projected CRS in metres, or leave --work-crs out",
                            described.name));
  return WorkCrs(crs);
}

MetricPoint WorkCrs::forward(const LonLat& place) const {
  if (is_local()) CrsTransform(kLonLatCrs, kLocalCrs);  // throws: no place on Earth
  const CrsPoint point = from_degrees_->forward(CrsPoint{place.lon_deg, place.lat_deg});
  return {point.x, point.y};
}

LonLat WorkCrs::inverse(const MetricPoint& point) const {
  if (is_local()) CrsTransform(kLonLatCrs, kLocalCrs);  // throws: no place on Earth
  const CrsPoint place = from_degrees_->inverse(CrsPoint{point.x_m, point.y_m});
  return {place.x, place.y};
}

LonLat centre_of(std::span<const LonLat> places) {
  GAUGELOOM_ASSERT(!places.empty());
  std::vector<double> lon;
  double south = 90, north = -90;
  for (const LonLat& place : places) {
    lon.push_back(place.lon_deg);
    south = std::min(south, place.lat_deg);
    north = std::max(north, place.lat_deg);
  }
  std::sort(lon.begin(), lon.end());
  // The smallest box is what the widest gap between neighbouring longitudes leaves.
  double widest = lon.front() + 360 - lon.back();
  double west = lon.front(), east = lon.back();
  for (std::size_t i = 1; i < lon.size(); ++i) {
    if (lon[i] - lon[i - 1] <= widest) continue;
    widest = lon[i] - lon[i - 1];
    west = lon[i];
    east = lon[i - 1] + 360;
  }
  double middle = (west + east) / 2;
  if (middle > 180) middle -= 360;
  return {std::round(middle * 100) / 100 + 0.0, std::round((south + north) * 50) / 100 + 0.0};
}

Placement place_in_work_crs(std::span<const CrsPoint> points, const std::string& source_crs,
                            const std::string& work_crs) {
  if (source_crs == kLocalCrs) return place_locally(points, work_crs);
  if (work_crs == kLocalCrs)
    throw Error(ErrorCode::unsupported_crs,
                "--work-crs local needs positions in plain metres; give --crs local too, or leave "
                "--work-crs out");
  const CrsTransform to_degrees(source_crs, kLonLatCrs);
  Placement placed;
  for (const CrsPoint& point : convert_all(to_degrees, points))
    placed.lon_lat.push_back(to_degrees.is_identity() ? LonLat{point.x, point.y}
                                                      : LonLat{rounded(point.x, kDegreeGrid),
                                                               rounded(point.y, kDegreeGrid)});
  const LonLat centre = points.empty() ? LonLat{} : centre_of(placed.lon_lat);
  placed.working_crs = choose_work_crs(source_crs, work_crs, centre);
  const CrsTransform to_metres(source_crs, placed.working_crs);
  const double grid = kPositionGridM;
  for (const CrsPoint& point : convert_all(to_metres, points))
    placed.positions.push_back(to_metres.is_identity()
                                   ? MetricPoint{point.x, point.y}
                                   : MetricPoint{rounded(point.x, grid), rounded(point.y, grid)});
  return placed;
}

}  // namespace gaugeloom
