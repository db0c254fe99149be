#include "gaugeloom/rehearse/gain_change.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {

void change_gain(std::span<float> depth_mm, StepAxis::Range changed, const GainChange& gain) {
  constexpr double kWholeTip = 1e-6;  // of a bucket: float32 depths are no exact multiples of it
  const auto steps = static_cast<double>(changed.last - changed.first);
  double held_mm = 0;
  for (std::size_t i = changed.first; i < changed.last; ++i) {
    if (std::isnan(depth_mm[i])) continue;
    const double done = static_cast<double>(i - changed.first) / std::max(1.0, steps - 1);
    held_mm += static_cast<double>(depth_mm[i]) * (gain.first + done * (gain.last - gain.first));
    const double tips = std::floor(held_mm / gain.bucket_mm + kWholeTip);
    held_mm -= tips * gain.bucket_mm;
    depth_mm[i] = static_cast<float>(tips * gain.bucket_mm);
  }
}

}  // namespace gaugeloom
