#pragma once
// Reads low: less than its neighbours explain, compared with what it always read.
//
// (1) A change against its own ratio: the daily log ratios, standardised by the network's law for
//     their expected depth, are split where the two means differ most (the single-break statistic
//     of H. Alexandersson, Journal of Climatology 6, 1986); score = half that statistic. A call
//     needs at least 6 judged days on either side and a change of the median ratio of 25 %. The
//     part after the break is called; or the part before, when that one is the farther from its
//     neighbours by more than 20 %.
// (2) A spell found as partly blocked (checks/partly_blocked.hpp), with its level, in which the
//     same share of light and heavy hours is lost, after days on which it read what was expected.
// (3) A ratio outside what a site explains: below one half over a record of at least 60 days, over
//     at least 8 judged days and 20 mm. Always provisional, as shelter can do it.
// A ratio that has always been between one half and two is a site, not a fault.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

CheckOutcome find_reads_low(const CheckContext& context);

}  // namespace gaugeloom
