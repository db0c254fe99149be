#pragma once
// A link that was down while the counter went on: all that fell arrives in one step, and the steps
// before it are stored as zeros or not at all.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The measured steps of `held` become 0, and the last of them their sum.
// Laws: (1) the sum stays (to float32); (2) missing stays missing; (3) nothing outside changes.
// Requires: held.last <= depth_mm.size().
void hold_back(std::span<float> depth_mm, StepAxis::Range held);

// The same with the steps before the sum made missing.
void lose_but_total(std::span<float> depth_mm, StepAxis::Range held);

}  // namespace gaugeloom
