#pragma once
// Stuck: the same non-zero depth, step after step, as rain would not give it.
//
// A run of n equal non-zero steps scores -(n - 1) log q, q being how often, on this network, a step
// of about that many buckets is followed by exactly the same depth (one bucket twice in a row is
// common, seven buckets twice in a row is not). A run over which, since the storm began, its
// neighbours lead us to expect 30 % of it or more is an outlet at its limit: partly_blocked.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Findings [begin of the first equal step, end of the last). At least 6 equal steps; the level is
// learned from the network's own runs and is never below 24 nats. Confirmed from twice the level.
CheckOutcome find_stuck(const CheckContext& context);

// The same with the runs of an outlet: what is left out of the neighbours' estimates.
CheckOutcome find_stuck_suspects(const CheckContext& context);

}  // namespace gaugeloom
