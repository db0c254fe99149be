#pragma once
// The storms of one gauge and the most that fell in any few minutes of each: what its tips alone
// can say, and steps of a table cannot.

#include <array>
#include <chrono>
#include <span>
#include <vector>

#include "gaugeloom/time/instant.hpp"
#include "gaugeloom/tips/inflow.hpp"

namespace gaugeloom {

inline constexpr std::array<std::chrono::minutes, 5> kPeakDurations = {
    std::chrono::minutes{5}, std::chrono::minutes{10}, std::chrono::minutes{15},
    std::chrono::minutes{30}, std::chrono::minutes{60}};
inline constexpr std::chrono::hours kGaugeStormGap{6};  // common practice
inline constexpr double kLeastGaugeStormMm = 1;         // our choice

struct StormPeaks {
  Interval over;  // from the beginning of its first inflow to the end of the last
  double depth_mm = 0;
  std::array<double, kPeakDurations.size()> most_mm{};  // in any window of that length
};

// Corrected depths. Storms are parted by 6 h without inflow; those of less than 1 mm are left out.
// Windows begin at any instant, not only at whole minutes: where rain is even between tips the
// largest sum begins or ends with an inflow. An inflow on an unknown course counts at its end.
//
// Laws (each one is a test): (1) most_mm rises with the length of the window and never passes the
//   depth; (2) no step of a table of that length holds more; (3) even rain gives its rate.
// Requires: inflows by time, not overlapping. Cost: linear in them.
std::vector<StormPeaks> storm_peaks(std::span<const Inflow> inflows);

}  // namespace gaugeloom
