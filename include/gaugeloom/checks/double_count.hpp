#pragma once
// Double count: every tip counted twice, by a switch wired twice or by two counters summed.
//
// The depths are then always an even number of buckets. Along the wet steps of a gauge
// S = max(0, S + l), a cumulative sum of log-likelihood ratios (E. S. Page, Biometrika 41, 1954):
// l = log(0.98 / p) at an even step and log(0.02 / (1 - p)) at any other, p the share of even ones
// among all wet steps of the network; two in a hundred may be odd, as the two counts of one tip can
// fall into two steps. Besides, the gauge must read 1.5 to 2.7 times its neighbours: one that is
// always even and reads right has a larger bucket than the list says, which is no fault.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Findings [first, last) over the steps from the first even one of the run to the last, score = S
// at its peak, once 5 mm were expected and at most 8 % of its wet steps are odd; a run ends where S
// has fallen by 8 nats, or to 0. Confirmed when S reaches the confirmed level and 20 mm were
// expected. A network whose depths are mostly even in itself (p above 0.9) tells nothing.
CheckOutcome find_double_count(const CheckContext& context);

}  // namespace gaugeloom
