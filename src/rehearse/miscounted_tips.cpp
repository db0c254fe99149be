#include "gaugeloom/rehearse/miscounted_tips.hpp"

namespace gaugeloom {

void miscount_tips(std::span<float> depth_mm, StepAxis::Range miscounted, double factor) {
  for (std::size_t i = miscounted.first; i < miscounted.last; ++i) {
    depth_mm[i] = static_cast<float>(static_cast<double>(depth_mm[i]) * factor);
  }
}

}  // namespace gaugeloom
