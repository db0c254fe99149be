#pragma once
// A logger whose clock is wrong: the right rain at the wrong time.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Every step in `shifted` holds what the gauge read `steps` steps before (after, when negative);
// missing where that lies outside the series. Nothing outside changes.
// Requires: shifted.last <= depth_mm.size().
void shift_clock(std::span<float> depth_mm, StepAxis::Range shifted, long steps);

}  // namespace gaugeloom
