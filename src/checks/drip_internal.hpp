#pragma once
// The second sign of a partial block: the funnel goes on dripping for hours after the rain.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Hours with at most 5 buckets while every neighbour used was dry from the hour before to the hour
// after are the tail of the storm before them. D = hours of the tail, at most 6, after a storm of
// at least 2 mm; S = max(0, S + D - 1) over the storms (tails of a healthy gauge are shorter than
// an hour). A tail of no hour after such a storm ends the spell.
CheckOutcome find_drips(const CheckContext& context);

}  // namespace gaugeloom
