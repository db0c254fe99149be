#pragma once
// Partly blocked: a trickle, day after day, where the neighbours are wet.
//
// For each day with at least 1 mm expected, l = -log P(so little | expected depth) under the
// network's own law of daily log ratios, at most 7 nats. S = max(0, S + l - 1.5) over the days: a
// cumulative sum (E. S. Page, Biometrika 41, 1954); l has mean 1 on a healthy gauge, so S falls
// back to 0. A day with more than half of what was expected brings no evidence of a partial block.
// A spell in which one of the four nearest live neighbours had as little rain at the same hours is
// a dry spot and not called. The spell ends with a day of at least 60 % of 3 mm or more, or when S
// is 0 again.
// A second sign is told beside it: drips that go on for hours after the rain, storm after storm
// (src/checks/drip_internal.hpp); where both are there, the shortfall is reported.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Findings [end of the last good hour, first good hour after), score = S at its peak. Over the
// spell the gauge must have had rain (else it is blocked), and less than half of what was expected.
// Confirmed when S reaches the confirmed level over at least 2 bad days.
CheckOutcome find_partly_blocked(const CheckContext& context);

}  // namespace gaugeloom
