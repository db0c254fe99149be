#include <algorithm>

#include "fill/site_ratio_internal.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr double kPriorMm = 50;
constexpr double kSmallest = 0.5;
constexpr double kLargest = 2;

double ratio_of_sums(const Ground& ground, std::size_t gauge, const NeighbourEstimates& estimates) {
  const std::vector<char> testable = testable_steps(ground, gauge, estimates);
  double measured = kPriorMm;
  double estimated = kPriorMm;
  for (std::size_t s = 0; s < testable.size(); ++s) {
    if (testable[s] == 0) continue;
    measured += static_cast<double>(ground.depths.depth_mm(gauge, s));
    estimated += static_cast<double>(estimates.amount[s]);
  }
  return std::clamp(measured / estimated, kSmallest, kLargest);
}

}  // namespace

std::vector<double> site_ratios(const Ground& ground, const WeightRule& rule) {
  std::vector<double> ratios(ground.gauges(), 1);
  for (int round = 0; round < 2; ++round) {
    const ScaledRain rain = scaled_rain(ground.depths, ratios);
    std::vector<double> next(ground.gauges(), 1);
    parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
      next[g] = ratio_of_sums(ground, g, neighbour_estimates(ground.around[g], rain, rule));
    });
    ratios = std::move(next);
  }
  return ratios;
}

}  // namespace gaugeloom::fill_internal
