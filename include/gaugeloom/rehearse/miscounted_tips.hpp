#pragma once
// Every tip stored as the wrong depth: counted twice, or taken for another bucket's.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Depths in `miscounted` times `factor`: 2 for a double count, 1.27 where 0.254 mm was stored for
// 0.2 mm. Missing stays missing, zero stays zero; nothing outside changes.
// Requires: miscounted.last <= depth_mm.size(); factor > 0.
void miscount_tips(std::span<float> depth_mm, StepAxis::Range miscounted, double factor);

}  // namespace gaugeloom
