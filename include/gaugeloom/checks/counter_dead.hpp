#pragma once
// Counter dead: the counter or its link was down and zeros were stored in place of missing values.
//
// A silence is found as blocked (checks/blocked.hpp) first and confirmed over two storms, as a hole
// in one storm has ends like those of an outage; here it is asked what silenced the gauge. The
// score is the sum, in nats, by which a dead counter explains it better than a blocked funnel
// (each figure is our choice unless it is computed):
//   1.0   it fell silent in mid-storm, with the right rain until then; leaves choke a funnel slowly
//   3.0   it came back in mid-storm with the right rain at once: a funnel that had been blocked
//         would let go what had gathered in it
//   log of (0.3 + 0.7 s) / s for such a moment at a whole hour, s = step / 1 h, and log 0.7 for one
//         that is not; as much as three in ten outages follow the clock; steps up to 30 minutes
//   -log of the chance that another silence of the record has both its ends within reach of this
//         one's, at the rate of silences of this record, at most 4 for each and 12 for all
// An end is known to lie between the tip beside it and the time by which 1 mm had fallen around.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Findings [last tip, next tip) to the step, for confirmed silences of 3 nats or more that hold no
// tip at all, are no partial block and did not end in a release; `tier` and `called` are those of
// the silence, as it was told by the name blocked at first. What cannot be told apart stays
// blocked.
CheckOutcome find_counter_dead(const CheckContext& context);

}  // namespace gaugeloom
