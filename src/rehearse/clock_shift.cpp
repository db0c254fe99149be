#include "gaugeloom/rehearse/clock_shift.hpp"

#include <limits>
#include <vector>

namespace gaugeloom {

void shift_clock(std::span<float> depth_mm, StepAxis::Range shifted, long steps) {
  const std::vector<float> right(depth_mm.begin(), depth_mm.end());
  const auto size = static_cast<long>(right.size());
  for (std::size_t i = shifted.first; i < shifted.last; ++i) {
    const long from = static_cast<long>(i) - steps;
    depth_mm[i] = from >= 0 && from < size ? right[static_cast<std::size_t>(from)]
                                           : std::numeric_limits<float>::quiet_NaN();
  }
}

}  // namespace gaugeloom
