#pragma once
// Two kinds of position that must never be mixed up: degrees on the Earth, and metres in a plane.

namespace gaugeloom {

// Degrees, east and north positive. -180 <= lon_deg <= 180, -90 <= lat_deg <= 90.
struct LonLat {
  double lon_deg = 0;
  double lat_deg = 0;
  bool operator==(const LonLat&) const = default;
};

// Metres in one metric CRS: x towards east, y towards north.
struct MetricPoint {
  double x_m = 0;
  double y_m = 0;
  bool operator==(const MetricPoint&) const = default;
};

// Never squared in an interface.
double distance_m(const MetricPoint& a, const MetricPoint& b);

}  // namespace gaugeloom
