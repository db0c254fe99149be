#include <cmath>
#include <limits>

#include "checks/intensity_slope_internal.hpp"
#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

IntensitySlope intensity_slope(std::span<const RatioPoint> points,
                               std::span<const double> log_intensity) {
  GAUGELOOM_ASSERT(points.size() == log_intensity.size());
  double w = 0, x = 0, y = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    w += points[i].weight;
    x += points[i].weight * log_intensity[i];
    y += points[i].weight * points[i].value;
  }
  double xx = 0, xy = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double off = log_intensity[i] - x / w;
    xx += points[i].weight * off * off;
    xy += points[i].weight * off * (points[i].value - y / w);
  }
  if (!(xx > 0)) return {0, std::numeric_limits<double>::infinity()};
  return {xy / xx, 1 / std::sqrt(xx)};
}

}  // namespace gaugeloom
