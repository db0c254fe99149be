#pragma once
// Calibration drift: the gauge reads less and less, or more and more, against its neighbours.
//
// As calibration_step, with a ramp in place of the step: from some day on, to the end of the record
// or to the next step, for at least 90 days, the log ratio changes in a straight line of time. A
// call needs the level of its own, a change of 5 % or more over the ramp, a fit better by 1 nat
// than that of any step, and the same witnesses.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

CheckOutcome find_calibration_drift(const CheckContext& context);

}  // namespace gaugeloom
