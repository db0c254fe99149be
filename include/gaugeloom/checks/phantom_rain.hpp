#pragma once
// Phantom rain: tips while nothing near is wet, before or after: a sprinkler, a pour test, wind,
// melt.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// A lone hour has rain while every live candidate neighbour within 30 km, at least three of them,
// was dry from the hour before to the hour after. Lone hours less than 4 h apart are one episode;
// its score is 4 log of its depth over the typical depth of the network's lone episodes (which true
// local showers make; from their median), and at least 2 mm are asked for. The level is learned
// from them. An episode that goes on from rain of the gauge in the hour before and never rises by
// more than a bucket from hour to hour is a funnel that runs out: partly_blocked.
CheckOutcome find_phantom_rain(const CheckContext& context);

// The same with such drips: what is left out of the neighbours' estimates.
CheckOutcome find_phantom_rain_suspects(const CheckContext& context);

}  // namespace gaugeloom
