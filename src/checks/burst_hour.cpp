#include "checks/burst_hour_internal.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace gaugeloom {
namespace {

constexpr double kOwnShare = 0.999;

}  // namespace

double own_high_mm(const CheckContext& context, std::size_t gauge) {
  std::vector<float> depths;
  for (const float depth : context.hours.row(gauge)) {
    if (!std::isnan(depth)) depths.push_back(depth);
  }
  if (depths.empty()) return 0;
  const auto at = static_cast<std::ptrdiff_t>(kOwnShare * static_cast<double>(depths.size() - 1));
  std::nth_element(depths.begin(), depths.begin() + at, depths.end());
  return depths[static_cast<std::size_t>(at)];
}

double wettest_neighbour_mm(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const std::size_t first = hour > 0 ? hour - 1 : 0;
  const std::size_t last = std::min(hour + 2, context.hours.step_count());
  double wettest = 0;
  std::size_t used = 0;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (used == context.around.options.used) break;
    if (!context.hours.is_measured(n.gauge, hour)) continue;
    ++used;
    for (std::size_t h = first; h < last; ++h) {
      const double depth = context.hours.depth_mm(n.gauge, h);
      if (depth > wettest) wettest = depth;
    }
  }
  return wettest;
}

}  // namespace gaugeloom
