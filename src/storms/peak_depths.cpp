#include "gaugeloom/storms/peak_depths.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// Sums in whole nanometres (a millionth of a mm): what leaves the window takes no rounding with it.
double most_in(std::span<const float> depths_mm, std::size_t window) {
  const auto nanometres = [&](std::size_t i) {
    return std::llround(static_cast<double>(depths_mm[i]) * 1e6);
  };
  long long sum = 0;
  long long most = -1;
  std::size_t missing = 0;
  for (std::size_t i = 0; i < depths_mm.size(); ++i) {
    if (std::isnan(depths_mm[i]))
      ++missing;
    else
      sum += nanometres(i);
    if (i >= window) {
      if (std::isnan(depths_mm[i - window]))
        --missing;
      else
        sum -= nanometres(i - window);
    }
    if (i + 1 >= window && missing == 0) most = std::max(most, sum);
  }
  return most < 0 ? kNan : static_cast<double>(most) / 1e6;
}

}  // namespace

PeakDepths peak_depths(std::span<const float> depths_mm, std::chrono::seconds step) {
  PeakDepths peaks;
  for (std::size_t d = 0; d < kStormDurations.size(); ++d) {
    const std::chrono::seconds duration = kStormDurations[d];
    peaks[d] = kNan;
    if (duration % step != std::chrono::seconds{0} || depths_mm.empty()) continue;
    const auto window = static_cast<std::size_t>(duration / step);
    peaks[d] = most_in(depths_mm, std::min(window, depths_mm.size()));
  }
  return peaks;
}

double intensity_mm_h(double depth_mm, std::chrono::minutes duration) {
  return depth_mm * 60 / static_cast<double>(duration.count());
}

}  // namespace gaugeloom
