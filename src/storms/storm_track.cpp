#include "gaugeloom/storms/storm_track.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "gaugeloom/core/bulk_budget.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kFewestGauges = 6;  // for a plane through their times
constexpr double kLeastExplained = 0.7;

struct Hour {
  StepAxis::Range steps;
  double sum_mm = 0;
  double east = 0;  // sums of depth x place
  double north = 0;
  std::size_t said = 0;
  std::size_t wet = 0;
};

std::vector<Hour> hours_of(const StepAxis& axis, StepAxis::Range steps) {
  std::vector<Hour> hours;
  Instant last;
  for (std::size_t step = steps.first; step < steps.last; ++step) {
    const Instant begin = std::chrono::floor<std::chrono::hours>(axis.begin(step));
    if (hours.empty() || begin != last) hours.push_back({{step, step}});
    hours.back().steps.last = step + 1;
    last = begin;
  }
  return hours;
}

// Places relative to `origin`, so that large coordinates cost no digits.
void add(Hour& hour, std::span<const float> row, const MetricPoint& place,
         const MetricPoint& origin) {
  double sum = 0;
  bool said = false;
  for (std::size_t step = hour.steps.first; step < hour.steps.last; ++step) {
    if (std::isnan(row[step])) continue;
    said = true;
    sum += static_cast<double>(row[step]);
  }
  hour.said += said ? 1 : 0;
  hour.wet += sum > 0 ? 1 : 0;
  hour.sum_mm += sum;
  hour.east += sum * (place.x_m - origin.x_m);
  hour.north += sum * (place.y_m - origin.y_m);
}

std::optional<MetricPoint> centre_of(double sum, double east, double north,
                                     const MetricPoint& origin) {
  if (!(sum > 0)) return std::nullopt;
  return MetricPoint{origin.x_m + east / sum, origin.y_m + north / sum};
}

// A gauge's rain: how much, and the middle of it in hours since the storm began.
struct Passage {
  MetricPoint place;  // relative to the origin
  double depth_mm = 0;
  double middle_h = 0;
};

Passage passage_of(const StepAxis& axis, StepAxis::Range steps, std::span<const float> row) {
  Passage passage;
  for (std::size_t step = steps.first; step < steps.last; ++step) {
    if (std::isnan(row[step])) continue;
    const auto depth_mm = static_cast<double>(row[step]);
    passage.depth_mm += depth_mm;
    passage.middle_h +=
        depth_mm * axis.step_hours() * (static_cast<double>(step - steps.first) + 0.5);
  }
  if (passage.depth_mm > 0) passage.middle_h /= passage.depth_mm;
  return passage;
}

// Weighted sums of squares and products around the weighted means.
struct Spreads {
  double xx = 0, xy = 0, yy = 0, xt = 0, yt = 0, tt = 0;
};

Spreads spreads_of(std::span<const Passage> passages) {
  double weight = 0;
  Passage mean;
  for (const Passage& one : passages) {
    weight += one.depth_mm;
    mean.place.x_m += one.depth_mm * one.place.x_m;
    mean.place.y_m += one.depth_mm * one.place.y_m;
    mean.middle_h += one.depth_mm * one.middle_h;
  }
  Spreads s;
  for (const Passage& one : passages) {
    const double x = (one.place.x_m - mean.place.x_m / weight) / 1000;
    const double y = (one.place.y_m - mean.place.y_m / weight) / 1000;
    const double t = one.middle_h - mean.middle_h / weight;
    s.xx += one.depth_mm * x * x;
    s.xy += one.depth_mm * x * y;
    s.yy += one.depth_mm * y * y;
    s.xt += one.depth_mm * x * t;
    s.yt += one.depth_mm * y * t;
    s.tt += one.depth_mm * t * t;
  }
  return s;
}

// The plane t = a x + b y gives the hours per km towards east and north; the motion is along that
// gradient, with its inverse for the speed.
std::optional<StormMotion> motion_of(std::span<const Passage> passages) {
  if (passages.size() < kFewestGauges) return std::nullopt;
  const Spreads s = spreads_of(passages);
  const double determinant = s.xx * s.yy - s.xy * s.xy;
  if (!(determinant > 1e-9 * s.xx * s.yy) || !(s.tt > 0)) return std::nullopt;
  const double a = (s.xt * s.yy - s.yt * s.xy) / determinant;
  const double b = (s.yt * s.xx - s.xt * s.xy) / determinant;
  const double square = a * a + b * b;
  const double explained = (a * s.xt + b * s.yt) / s.tt;
  if (!(explained >= kLeastExplained) || !(square > 0)) return std::nullopt;
  return StormMotion{a / square, b / square, explained};
}

}  // namespace

double StormMotion::speed_km_h() const {
  return std::sqrt(east_km_h * east_km_h + north_km_h * north_km_h);
}

std::string_view StormMotion::towards() const {
  if (!(speed_km_h() > 0)) return "";
  // Tangents of the edges between the 16 points, in the eighth next to an axis: no arc tangent,
  // whose last digit differs between processors.
  constexpr std::array<double, 2> kEdges = {0.198912367379658, 0.668178637919299};
  const double along = std::max(std::abs(east_km_h), std::abs(north_km_h));
  const double across = std::min(std::abs(east_km_h), std::abs(north_km_h));
  const std::size_t from_axis = across < kEdges[0] * along ? 0 : across < kEdges[1] * along ? 1 : 2;
  const bool mostly_north = std::abs(north_km_h) >= std::abs(east_km_h);
  // Points from north over east, of the quarter that lies north-east; then mirrored.
  const std::size_t point = mostly_north ? from_axis : 4 - from_axis;
  const std::size_t northern = north_km_h >= 0 ? point : 8 - point;
  const std::size_t index = east_km_h >= 0 ? northern : (16 - northern) % 16;
  constexpr std::array<std::string_view, 16> kPoints = {"N",  "NNE", "NE", "ENE", "E",  "ESE",
                                                        "SE", "SSE", "S",  "SSW", "SW", "WSW",
                                                        "W",  "WNW", "NW", "NNW"};
  return kPoints[index];
}

StormTrack storm_track(std::span<const MetricPoint> positions, const RainTable& depth,
                       const Storm& storm) {
  std::vector<Hour> hours = hours_of(depth.axis(), storm.steps);
  const BulkAcross across;  // one time, all rows
  const MetricPoint origin = positions.empty() ? MetricPoint{} : positions.front();
  std::vector<Passage> passages;
  for (std::size_t gauge = 0; gauge < positions.size(); ++gauge) {
    for (Hour& hour : hours) add(hour, depth.row(gauge), positions[gauge], origin);
    Passage passage = passage_of(depth.axis(), storm.steps, depth.row(gauge));
    passage.place = {positions[gauge].x_m - origin.x_m, positions[gauge].y_m - origin.y_m};
    if (passage.depth_mm > 0) passages.push_back(passage);
  }
  StormTrack track;
  double sum = 0;
  double east = 0;
  double north = 0;
  for (const Hour& hour : hours) {
    TrackPoint point;
    point.over = {depth.axis().begin(hour.steps.first), depth.axis().end(hour.steps.last - 1)};
    if (hour.said > 0) point.mean_mm = hour.sum_mm / static_cast<double>(hour.said);
    point.wet = hour.wet;
    point.centre = centre_of(hour.sum_mm, hour.east, hour.north, origin);
    track.points.push_back(point);
    sum += hour.sum_mm;
    east += hour.east;
    north += hour.north;
  }
  track.centre = centre_of(sum, east, north, origin);
  track.motion = motion_of(passages);
  return track;
}

}  // namespace gaugeloom
