#include "gaugeloom/checks/reads_low.hpp"

#include "checks/ratio_shift_internal.hpp"

namespace gaugeloom {

CheckOutcome find_reads_low(const CheckContext& context) {
  return find_ratio_shift(context, FindingKind::reads_low);
}

}  // namespace gaugeloom
