#include "gaugeloom/checks/calibration_drift.hpp"

#include "checks/calibration_finding_internal.hpp"

namespace gaugeloom {

CheckOutcome find_calibration_drift(const CheckContext& context) {
  return find_calibration(context, ChangeShape::ramp);
}

}  // namespace gaugeloom
