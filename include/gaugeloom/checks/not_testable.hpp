#pragma once
// Not testable: the gauge reported for long while fewer than three neighbours were live, so that
// nothing can be said about it. Said instead of "good".

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Spells of at least 7 days (or the whole record, when it is shorter) in which none of the hours
// the gauge measured could be held against three neighbours. Always provisional; score 0.
CheckOutcome find_not_testable(const CheckContext& context);

}  // namespace gaugeloom
