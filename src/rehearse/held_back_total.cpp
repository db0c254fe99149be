#include "gaugeloom/rehearse/held_back_total.hpp"

#include <cmath>

namespace gaugeloom {

void hold_back(std::span<float> depth_mm, StepAxis::Range held) {
  double total_mm = 0;
  float* last = nullptr;
  for (std::size_t i = held.first; i < held.last; ++i) {
    if (std::isnan(depth_mm[i])) continue;
    total_mm += static_cast<double>(depth_mm[i]);
    last = &depth_mm[i];
    *last = 0;
  }
  if (last != nullptr) *last = static_cast<float>(total_mm);
}

}  // namespace gaugeloom
