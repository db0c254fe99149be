#pragma once
// From changes of calibration to findings in plain words.

#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/expect/ratio_break.hpp"

namespace gaugeloom {

// The findings of calibration_step (steps) or calibration_drift (ramps).
//
// A step is called from the day after the last judged day before it to the next change, if there is
// one. A step that the next one undoes by more than half is one episode with it. The part before a
// step is called in place of the part after when the gauge came to agree with its neighbours within
// 5 % by it: it was put right. Confirmed only where two years of record can tell a change from a
// site that differs by the season.
CheckOutcome find_calibration(const CheckContext& context, ChangeShape shape);

}  // namespace gaugeloom
