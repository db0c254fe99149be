#pragma once
// A funnel blocked outright: nothing comes through, and the counter goes on saying so.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Depths of one gauge in mm, NaN where missing: those in `blocked` become 0.
// Laws: (1) what is missing stays missing; (2) nothing outside changes; (3) what is lost is exactly
// the rain of those steps. Requires: blocked.last <= depth_mm.size().
void block_fully(std::span<float> depth_mm, StepAxis::Range blocked);

}  // namespace gaugeloom
