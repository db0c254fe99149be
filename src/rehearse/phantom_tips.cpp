#include "gaugeloom/rehearse/phantom_tips.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {

double add_tips(std::span<float> series_mm, StepAxis::Range over, double depth_mm,
                double bucket_mm) {
  const auto part = series_mm.subspan(over.first, over.last - over.first);
  const auto measured = static_cast<std::size_t>(
      std::count_if(part.begin(), part.end(), [](float d) { return !std::isnan(d); }));
  const auto tips = static_cast<std::size_t>(std::floor(depth_mm / bucket_mm + 1e-6));
  if (measured == 0 || tips == 0) return 0;
  std::size_t seen = 0;
  std::size_t done = 0;
  for (float& depth : part) {
    if (std::isnan(depth)) continue;
    const std::size_t upto = tips * ++seen / measured;
    depth += static_cast<float>(static_cast<double>(upto - done) * bucket_mm);
    done = upto;
  }
  return static_cast<double>(tips) * bucket_mm;
}

}  // namespace gaugeloom
