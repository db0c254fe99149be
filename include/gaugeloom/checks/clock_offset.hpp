#pragma once
// Clock offset: the right rain at the wrong time.
//
// Square roots of depths in steps of 10 minutes or more (finer ones are gathered to 15 minutes) are
// correlated, day by day, with the mean of the five nearest live neighbours, shifted by every lag
// up to 3 h and by whole hours up to 13 h. A lag gains atanh rho(lag) - atanh rho(0) on a day; the
// run of days over which some lag gains most is the candidate, with score (sum of gains)^2 / (2 n
// s^2), s the network's own spread of gains at that lag. Only days with at least 2 mm at the gauge
// count.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Lags below 30 minutes are not called: storms move. At least 5 days for a call, 8 for a confirmed
// one; the gain must be there on 70 % of the days. The level is learned from the network.
CheckOutcome find_clock_offset(const CheckContext& context);

}  // namespace gaugeloom
