#pragma once
// Depths gathered to longer windows that begin at whole multiples of their length in UTC.

#include <chrono>

#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// Sums of the steps that begin within each window. A window of which at least `least_share` is
// measured holds the measured sum divided by the measured share (so a lost five minutes does not
// lose the hour, and nothing measured stays 0); any other is missing, and so is a last window that
// is not over when the table ends: someone watching live could not have judged it.
// A table whose step is as long as the window, or longer, comes back as it is.
// Laws: (1) a complete window holds the sum of its steps; (2) a window of zeros is 0;
//       (3) shifting the table by whole windows shifts the result.
// Requires window > 0 and 0 < least_share <= 1. Cost: one pass.
RainTable gathered_depths(const RainTable& table, std::chrono::seconds window,
                          double least_share = 2.0 / 3.0);

// The window of `gathered` in which each step of `table` begins, for spreading a verdict back.
std::vector<std::size_t> window_of_step(const StepAxis& steps, const StepAxis& gathered);

}  // namespace gaugeloom
