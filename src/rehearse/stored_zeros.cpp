#include "gaugeloom/rehearse/stored_zeros.hpp"

namespace gaugeloom {

void store_zeros(std::span<float> depth_mm, StepAxis::Range silent) {
  for (std::size_t i = silent.first; i < silent.last; ++i) depth_mm[i] = 0;
}

}  // namespace gaugeloom
