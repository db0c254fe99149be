#include "gaugeloom/storms/rain_classes.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

// Multiples of 0.1 mm, so that every bound is the nearest number to its decimals.
double at_tenths(double tenths) { return tenths / 10; }

constexpr double kFinest = 1e6;  // steps in the highest total, at most: bounds stay apart

}  // namespace

std::vector<double> class_bounds_mm(double lowest_mm, double highest_mm, std::size_t most) {
  GAUGELOOM_ASSERT(lowest_mm >= 0 && lowest_mm <= highest_mm && std::isfinite(highest_mm));
  GAUGELOOM_ASSERT(most >= 2);
  if (!(highest_mm > 0)) return {0};
  double power = 1;  // of tenths of a mm
  for (;; power *= 10)
    for (const double step : {power, 2 * power, 5 * power}) {
      if (at_tenths(step) < highest_mm / kFinest) continue;
      double first = std::floor(lowest_mm / at_tenths(step));
      double last = std::max(first + 1, std::ceil(highest_mm / at_tenths(step)));
      if (at_tenths(first * step) > lowest_mm) --first;  // by rounding
      if (at_tenths(last * step) < highest_mm) ++last;
      if (last - first > static_cast<double>(most)) continue;
      std::vector<double> bounds;
      for (double k = first; k <= last; ++k) bounds.push_back(at_tenths(k * step));
      return bounds;
    }
}

std::size_t class_of(std::span<const double> bounds_mm, double total_mm) {
  if (bounds_mm.size() < 3) return 0;
  const auto inner = bounds_mm.subspan(1, bounds_mm.size() - 2);
  return static_cast<std::size_t>(std::upper_bound(inner.begin(), inner.end(), total_mm) -
                                  inner.begin());
}

int class_decimals(std::span<const double> bounds_mm) {
  return bounds_mm.size() > 1 && bounds_mm[1] - bounds_mm[0] < 0.95 ? 1 : 0;
}

}  // namespace gaugeloom
