#pragma once
// Impossible rate: more rain than was ever measured on Earth in that time, or more than the gauge
// itself can count.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// The greatest point rainfall known for a duration in mm, log-log between the records of the World
// Meteorological Organization (Archive of Weather and Climate Extremes, point rainfall; published):
//   1 min 31.2, 60 min 305, 24 h 1825, 48 h 2493, 72 h 3929, 96 h 4869, 12 months 26470; and
//   198.1 in 15 min at Plumb Point, 305 in 42 min at Holt (published, not in that archive).
// Above 12 months the last slope goes on; below 1 min the depth of 1 min holds.
// Requires duration_h > 0.
double world_record_mm(double duration_h);

// Each maximal run of steps that pass (a) the world record for a step, for an hour or for a day, or
// (b) the gauge's own max_rate_mm_h. Confirmed for (a), provisional for (b). Score: depth over the
// limit. An hour or a day is a sliding sum of whole steps, missing ones counting as nothing.
CheckOutcome find_impossible_rate(const CheckContext& context);

}  // namespace gaugeloom
