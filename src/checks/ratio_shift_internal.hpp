#pragma once
// What reads_low and reads_high share: the search for a change of ratio, and for a ratio that no
// site explains.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// kind: reads_low or reads_high. Adds to `known` findings of that kind; their gauges are not judged
// again.
CheckOutcome find_ratio_shift(const CheckContext& context, FindingKind kind, CheckOutcome known);

}  // namespace gaugeloom
