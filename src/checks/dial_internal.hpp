#pragma once
// The one dial: how much of it a check may use, and the two levels that follow for its score.

#include <vector>

#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/expect/peak_threshold.hpp"

namespace gaugeloom {

// The share of the one dial that a check may use: 1 over all checks.
double dial_share(FindingKind kind);

// The levels that `peaks`, seen in `years` gauge-years, pass as often as the two settings of the
// dial allow that check; the confirmed one at least `least_gap` above the provisional one. `scales`
// are left empty.
LearnedThreshold dialled_threshold(const CheckContext& context, FindingKind kind,
                                   std::vector<double> peaks, double years, const PeakTail& tail,
                                   double least_gap);

}  // namespace gaugeloom
