#include "gaugeloom/rehearse/bounced_tips.hpp"

#include <cmath>

#include "gaugeloom/core/hash.hpp"

namespace gaugeloom {

double bounce_tips(std::span<float> depth_mm, StepAxis::Range bouncing, double share,
                   double bucket_mm, std::uint64_t seed) {
  double added = 0;
  for (std::size_t i = bouncing.first; i < bouncing.last; ++i) {
    if (std::isnan(depth_mm[i])) continue;
    const auto depth = static_cast<double>(depth_mm[i]);
    const auto tips = static_cast<std::uint64_t>(std::floor(depth / bucket_mm + 1e-6));
    double twice = 0;
    for (std::uint64_t tip = 0; tip < tips; ++tip)
      if (keyed_uniform(seed, i, tip) < share) ++twice;
    depth_mm[i] = static_cast<float>(depth + twice * bucket_mm);
    added += twice * bucket_mm;
  }
  return added;
}

}  // namespace gaugeloom
