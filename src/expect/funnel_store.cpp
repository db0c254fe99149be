#include "gaugeloom/expect/funnel_store.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLongestPartH = 0.1;

}  // namespace

double FunnelStore::pass(double inflow_mm, double hours) {
  GAUGELOOM_ASSERT(inflow_mm >= 0 && hours > 0);
  const double parts = std::ceil(hours / kLongestPartH - 1e-9);
  const double part_h = hours / parts;
  const double drained_share = 1 - portable_exp(-part_h / outlet_.drain_h);
  double passed_mm = 0;
  for (double part = 0; part < parts; ++part) {
    stored_mm_ += inflow_mm / parts;
    const double out_mm = std::min(outlet_.cap_mm_h * part_h, stored_mm_ * drained_share);
    stored_mm_ -= out_mm;
    passed_mm += out_mm;
    const double spill_mm = std::max(0.0, stored_mm_ - outlet_.capacity_mm);
    stored_mm_ -= spill_mm;
    spilled_mm_ += spill_mm;
  }
  return passed_mm;
}

}  // namespace gaugeloom
