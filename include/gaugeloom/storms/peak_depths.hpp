#pragma once
// The most that fell in any window of a length: 5 minutes to a day.

#include <array>
#include <chrono>
#include <limits>
#include <span>

namespace gaugeloom {

inline constexpr std::array<std::chrono::minutes, 10> kStormDurations = {
    std::chrono::minutes{5},   std::chrono::minutes{10},  std::chrono::minutes{15},
    std::chrono::minutes{30},  std::chrono::minutes{60},  std::chrono::minutes{120},
    std::chrono::minutes{180}, std::chrono::minutes{360}, std::chrono::minutes{720},
    std::chrono::minutes{1440}};

// In mm, one per duration; NaN where a duration is no whole number of steps.
using PeakDepths = std::array<double, kStormDurations.size()>;

// The largest sum over consecutive steps of `depths_mm` as long as each duration. Where all of the
// steps are shorter than it, their sum: the rest of the window is dry. A window with a missing step
// (NaN) has no sum; NaN where no window has one.
// Laws (each one is a test): rises with the duration where nothing is missing, never beyond the
//   sum; peak intensity never rises with it by whole multiples.
// Windows begin with steps: the true peak of any window is larger, at a duration of one step by
// about a seventh (mean ratio 1.14, from memory).
// Requires: step > 0. Cost: one pass per duration.
PeakDepths peak_depths(std::span<const float> depths_mm, std::chrono::seconds step);

// A depth over a duration in mm/h.
double intensity_mm_h(double depth_mm, std::chrono::minutes duration);

}  // namespace gaugeloom
