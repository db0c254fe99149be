#pragma once
// The storms of a network as steps of its table, for sums over whole storms.

#include <vector>

#include "gaugeloom/rain/storm_spells.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The steps [first, last) of each storm, in order of time. Storms are those of storm_spells, found
// on depths gathered to hours: at a fine step the gauges of one storm tip at different steps, so
// that hardly a step is wet at many of them. A table whose step is an hour or longer is taken as it
// is.
// Laws (each one is a test):
//   (1) windows do not meet: between two of them lie dry_gap or more;
//   (2) every step of an hour that is wet at more than 1 - dry_share of the gauges lies in one;
//   (3) the order of the gauges does not matter.
// Throws: Error{invalid_option} if options.problem() has one. Cost: a few passes over the table.
std::vector<StepAxis::Range> storm_windows(const RainTable& table,
                                           const StormSpellOptions& options = {});

}  // namespace gaugeloom
