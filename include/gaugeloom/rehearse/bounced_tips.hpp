#pragma once
// Contact bounce: the switch closes twice, and some tips are counted twice.

#include <cstdint>
#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Each tip in `bouncing`, a whole bucket of its step's depth, is counted a second time with chance
// `share`, drawn by `seed`, the step and the tip. What a depth holds beyond whole buckets stays
// once. Missing stays missing, zero stays zero; nothing outside changes. Returns what was added in
// mm.
// Laws (each one is a test): a depth grows by whole buckets, and at most to twice itself; share 1
// doubles whole buckets; the same seed bounces the same tips.
// Requires: bouncing.last <= depth_mm.size(); bucket_mm > 0; 0 <= share <= 1.
double bounce_tips(std::span<float> depth_mm, StepAxis::Range bouncing, double share,
                   double bucket_mm, std::uint64_t seed);

}  // namespace gaugeloom
