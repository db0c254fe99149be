#pragma once
// A shower that passed the gauge by: a decoy. Nothing is wrong with the gauge, so nothing may be
// called.

#include <span>
#include <vector>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

struct ShowerOptions {
  double least_mm = 2;
  double most_mm = 10;
  double most_hours = 4;   // longer rain is no local shower
  double apart_hours = 2;  // dry before and after
};

// The showers of one gauge in order of time: runs of rain parted by dry steps, of the size and
// length of `options`. A missing step ends a run and is no dry step. Cost: one pass.
std::vector<StepAxis::Range> lone_showers(std::span<const float> depth_mm, double step_h,
                                          const ShowerOptions& options = {});

// The shower falls beside the gauge: its steps become 0. Missing stays missing.
void miss_shower(std::span<float> depth_mm, StepAxis::Range shower);

}  // namespace gaugeloom
