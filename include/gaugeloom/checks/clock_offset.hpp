#pragma once
// Clock offset: the right rain at the wrong time.
//
// Each wet day has a lag: the one at which square roots of the gauge's depths, in steps of 10
// minutes or more (finer ones are gathered to 15 minutes), correlate best with its neighbours
// around it. How far lags stray from the gauge's usual one is learned from the network. A run of
// days scores the sum of log P(stray - offset) - log P(stray), the sequential likelihood ratio of
// an offset against none (A. Wald, Sequential Analysis, Wiley 1947), at most 4 nats a day.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Offsets below 30 minutes are not called: storms move. At least 5 days for a call, 8 for a
// confirmed one; 70 % of the days must lie nearer to the offset. The level is learned from the
// network. Finding::shift_minutes is the median lag of the run.
// Cost: gauges x wet days x lags x steps of a day.
CheckOutcome find_clock_offset(const CheckContext& context);

}  // namespace gaugeloom
