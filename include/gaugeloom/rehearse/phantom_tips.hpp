#pragma once
// Tips without rain: a sprinkler, a hand that pours.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Adds `depth_mm` in whole buckets, spread evenly over the measured steps of `over`; the rest below
// a bucket is left out. Returns what was added in mm: 0 where nothing is measured.
// Law: nothing else changes. Requires: over.last <= series_mm.size(); bucket_mm > 0.
double add_tips(std::span<float> series_mm, StepAxis::Range over, double depth_mm,
                double bucket_mm);

}  // namespace gaugeloom
