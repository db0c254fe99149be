#include "gaugeloom/geo/position.hpp"

#include <cmath>

namespace gaugeloom {

// Not std::hypot, whose last bit depends on the C library.
double distance_m(const MetricPoint& a, const MetricPoint& b) {
  const double dx = a.x_m - b.x_m;
  const double dy = a.y_m - b.y_m;
  return std::sqrt(dx * dx + dy * dy);
}

}  // namespace gaugeloom
