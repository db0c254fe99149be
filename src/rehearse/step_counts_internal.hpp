#pragma once
// Hours as steps of an axis.

#include <algorithm>
#include <cmath>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The nearest whole number of steps, at least 1.
inline std::size_t steps_in(const StepAxis& axis, double hours) {
  return static_cast<std::size_t>(std::max(1.0, std::round(hours / axis.step_hours())));
}

}  // namespace gaugeloom
