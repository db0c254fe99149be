#include "gaugeloom/checks/calibration_step.hpp"

#include "checks/calibration_finding_internal.hpp"

namespace gaugeloom {

CheckOutcome find_calibration_step(const CheckContext& context) {
  return find_calibration(context, ChangeShape::step);
}

}  // namespace gaugeloom
