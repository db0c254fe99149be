#include "gaugeloom/rehearse/missed_shower.hpp"

#include <cmath>

#include "gaugeloom/rehearse/full_block.hpp"

namespace gaugeloom {
namespace {

struct WetRun {
  StepAxis::Range steps;
  double depth_mm = 0;
  bool parted = true;  // dry long enough before and after, nothing missing
};

std::vector<WetRun> wet_runs(std::span<const float> depth_mm, std::size_t apart_steps) {
  std::vector<WetRun> runs;
  std::size_t dry = 0;  // steps on end before this one
  for (std::size_t i = 0; i < depth_mm.size(); ++i) {
    if (std::isnan(depth_mm[i])) {
      if (!runs.empty() && dry < apart_steps) runs.back().parted = false;
      dry = 0;
    } else if (depth_mm[i] > 0) {
      const bool goes_on = !runs.empty() && i - runs.back().steps.last < apart_steps;
      if (!goes_on) runs.push_back({{i, i}, 0, dry >= apart_steps});
      runs.back().steps.last = i + 1;
      runs.back().depth_mm += static_cast<double>(depth_mm[i]);
      dry = 0;
    } else {
      ++dry;
    }
  }
  if (!runs.empty() && dry < apart_steps) runs.back().parted = false;
  return runs;
}

}  // namespace

std::vector<StepAxis::Range> lone_showers(std::span<const float> depth_mm, double step_h,
                                          const ShowerOptions& options) {
  const auto apart = static_cast<std::size_t>(std::ceil(options.apart_hours / step_h));
  std::vector<StepAxis::Range> showers;
  for (const WetRun& run : wet_runs(depth_mm, apart)) {
    const double hours = static_cast<double>(run.steps.last - run.steps.first) * step_h;
    if (!run.parted || hours > options.most_hours) continue;
    if (run.depth_mm < options.least_mm || run.depth_mm > options.most_mm) continue;
    showers.push_back(run.steps);
  }
  return showers;
}

void miss_shower(std::span<float> depth_mm, StepAxis::Range shower) {
  block_fully(depth_mm, shower);
}

}  // namespace gaugeloom
