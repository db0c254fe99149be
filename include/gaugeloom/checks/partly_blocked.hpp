#pragma once
// Partly blocked: a narrowed outlet that caps heavy rain, drips on after it, or lets a trickle
// through.
//
// The hours of the gauge are held against what a few narrowed outlets would have passed of the rain
// its neighbours lead us to expect (ds/dt = R - q - spill, q = min(c, s / tau), and three shares of
// the rain), and against a working outlet, under the network's own law of an hour: a generalised
// likelihood ratio, as a cumulative sum that falls back to 0 on a healthy gauge
// (src/checks/outlet_score_internal.hpp). One storm adds at most 5 nats. A spell that one of the
// four nearest live neighbours shows too, by 30 % of the nats, is a dry spot; one that a clock up
// to 2 hours off explains as well, by 80 %, is the clock's.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Two signs are told on their own where no such spell is found, each by the level of the check that
// finds it: equal depths step after step with the rain to feed them (checks/stuck.hpp), and tips
// that go on and only run out when all around is dry (checks/phantom_rain.hpp). Within a spell they
// make it told, and confirmed, when they are.
//
// Findings [end of the last good hour, first good hour after), score = the sum at its peak. Over
// the spell the gauge must have had rain in two hours (else it is blocked). Confirmed when the sum
// reaches the confirmed level over at least 2 storms. Spells in which the same share of light and
// heavy hours is lost are reads_low.
CheckOutcome find_partly_blocked(const CheckContext& context);

// The same with those that are reads_low: what is left out of the neighbours' estimates.
CheckOutcome find_shortfall_suspects(const CheckContext& context);

}  // namespace gaugeloom
