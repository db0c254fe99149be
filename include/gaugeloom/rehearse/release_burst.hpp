#pragma once
// A block that gives way: what the funnel held comes through at once.

#include <cstddef>
#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Blocks the gauge over `blocked`, then lets go what the funnel held (at most store_mm, in whole
// buckets) evenly over the next `release_steps` steps, on top of their own rain. Returns the depth
// let go in mm, 0 when nothing was held.
// Laws: (1) what is let go is at most the rain of the blocked steps; (2) nothing else changes.
// Requires: blocked.last + release_steps <= depth_mm.size(); release_steps >= 1; bucket_mm > 0.
double release_after_block(std::span<float> depth_mm, StepAxis::Range blocked,
                           std::size_t release_steps, double store_mm, double bucket_mm);

}  // namespace gaugeloom
