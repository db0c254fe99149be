#pragma once
// Calibration step: from one day on the gauge reads another share of its neighbours than before, by
// less than what reads_low and reads_high call.
//
// The daily log ratios to the neighbours, weighted by the network's law for how much rain was
// expected and how patchy it was, are split where a step fits best (expect/ratio_break.hpp), and
// again on either side; score = log-likelihood ratio against no change. A call needs the learned
// level, a change of 5 % or more, 8 judged days on either side, and that at least three neighbours,
// and three in five of all, each show a change of half to twice that size. What was found by
// reads_low or reads_high is theirs; what a straight ramp fits better by 1 nat is
// calibration_drift's.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

CheckOutcome find_calibration_step(const CheckContext& context);

}  // namespace gaugeloom
