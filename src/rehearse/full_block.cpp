#include "gaugeloom/rehearse/full_block.hpp"

#include <cmath>

namespace gaugeloom {

void block_fully(std::span<float> depth_mm, StepAxis::Range blocked) {
  for (std::size_t i = blocked.first; i < blocked.last; ++i) {
    if (!std::isnan(depth_mm[i])) depth_mm[i] = 0;
  }
}

}  // namespace gaugeloom
