#pragma once
// Reads high: more than its neighbours explain, compared with what it always read.
//
// (1) A change against its own ratio, found and judged as in reads_low.hpp, upwards.
// (2) A ratio outside what a site explains: above two over a record of at least 60 days, over at
//     least 8 judged days and 20 mm. Always provisional, as drifting spray, snow or a wrong bucket
//     size can do it.
// A ratio that has always been between one half and two is a site, not a fault.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

CheckOutcome find_reads_high(const CheckContext& context);

}  // namespace gaugeloom
