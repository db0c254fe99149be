#include "gaugeloom/rehearse/release_burst.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/rehearse/full_block.hpp"
#include "gaugeloom/rehearse/phantom_tips.hpp"

namespace gaugeloom {

double release_after_block(std::span<float> depth_mm, StepAxis::Range blocked,
                           std::size_t release_steps, double store_mm, double bucket_mm) {
  double held_mm = 0;
  for (std::size_t i = blocked.first; i < blocked.last; ++i) {
    if (depth_mm[i] > 0) held_mm += static_cast<double>(depth_mm[i]);
  }
  block_fully(depth_mm, blocked);
  return add_tips(depth_mm, {blocked.last, blocked.last + release_steps},
                  std::min(held_mm, store_mm), bucket_mm);
}

}  // namespace gaugeloom
