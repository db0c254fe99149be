#pragma once
// A dead link or counter whose silence was stored as zeros.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Every step of `silent` becomes 0, whether it was measured or missing; nothing outside changes.
// Requires: silent.last <= depth_mm.size().
void store_zeros(std::span<float> depth_mm, StepAxis::Range silent);

}  // namespace gaugeloom
