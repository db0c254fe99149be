#include "gaugeloom/checks/reads_high.hpp"

#include "checks/ratio_shift_internal.hpp"

namespace gaugeloom {

CheckOutcome find_reads_high(const CheckContext& context) {
  return find_ratio_shift(context, FindingKind::reads_high, {});
}

}  // namespace gaugeloom
