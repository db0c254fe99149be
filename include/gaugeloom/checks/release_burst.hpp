#pragma once
// Release burst: stored water let go at once when a blocked gauge comes free. Its depth belongs to
// the blocked spell, not to the hour it is stamped with.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Looks at the end of every blocked or partly blocked spell among `context.earlier`, from 6 h
// before it to 48 h after. A burst is an hour above the gauge's own 99.9 % point, of at least 5 mm,
// and at least three times what any neighbour used had from the hour before to the hour after, with
// no more than 1.2 times what the spell was short of. Score: depth over three times the wettest
// neighbour plus 1 mm. The tier is that of the spell.
// The first reading after an outage may be such a burst too: src/checks/outage_total_internal.hpp.
CheckOutcome find_release_burst(const CheckContext& context);

}  // namespace gaugeloom
