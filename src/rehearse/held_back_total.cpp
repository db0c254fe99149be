#include "gaugeloom/rehearse/held_back_total.hpp"

#include <cmath>
#include <limits>

namespace gaugeloom {
namespace {

void gather(std::span<float> depth_mm, StepAxis::Range held, float instead) {
  double total_mm = 0;
  float* last = nullptr;
  for (std::size_t i = held.first; i < held.last; ++i) {
    if (std::isnan(depth_mm[i])) continue;
    total_mm += static_cast<double>(depth_mm[i]);
    last = &depth_mm[i];
    *last = instead;
  }
  if (last != nullptr) *last = static_cast<float>(total_mm);
}

}  // namespace

void hold_back(std::span<float> depth_mm, StepAxis::Range held) { gather(depth_mm, held, 0); }

void lose_but_total(std::span<float> depth_mm, StepAxis::Range held) {
  gather(depth_mm, held, std::numeric_limits<float>::quiet_NaN());
}

}  // namespace gaugeloom
