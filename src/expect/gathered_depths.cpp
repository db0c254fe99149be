#include "gaugeloom/expect/gathered_depths.hpp"

#include <cmath>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

// The last whole multiple of `window` since 1970 that is not after t.
Instant floor_to(Instant t, std::chrono::seconds window) {
  const auto length = std::chrono::duration_cast<Duration>(window);
  auto rest = t.time_since_epoch() % length;
  if (rest < Duration::zero()) rest += length;
  return t - rest;
}

StepAxis gathered_axis(const StepAxis& steps, std::chrono::seconds window) {
  if (steps.count() == 0) return StepAxis(steps.end(0), window, 0);
  const Instant first = floor_to(steps.begin(0), window);
  const auto span = steps.begin(steps.count() - 1) - first;
  return StepAxis(first + window, window, static_cast<std::size_t>(span / window) + 1);
}

void gather_row(std::span<const float> depths, std::span<const std::size_t> window_of,
                double steps_per_window, double least_share, std::size_t gauge, RainTable& out) {
  std::size_t step = 0;
  while (step < depths.size()) {
    const std::size_t window = window_of[step];
    double sum = 0;
    double measured = 0;
    for (; step < depths.size() && window_of[step] == window; ++step) {
      if (std::isnan(depths[step])) continue;
      sum += depths[step];
      measured += 1;
    }
    const double share = measured / steps_per_window;
    if (measured > 0 && share >= least_share) {
      out.set(gauge, window, static_cast<float>(share < 1 ? sum / share : sum));
    }
  }
}

}  // namespace

std::vector<std::size_t> window_of_step(const StepAxis& steps, const StepAxis& gathered) {
  std::vector<std::size_t> windows(steps.count());
  for (std::size_t i = 0; i < steps.count(); ++i) {
    const auto since = steps.begin(i) - gathered.begin(0);
    windows[i] = static_cast<std::size_t>(since / gathered.step());
  }
  return windows;
}

RainTable gathered_depths(const RainTable& table, std::chrono::seconds window, double least_share) {
  GAUGELOOM_ASSERT(window.count() > 0 && least_share > 0 && least_share <= 1);
  if (table.axis().step() >= window) return table;
  RainTable out(gathered_axis(table.axis(), window), table.gauge_count());
  const auto window_of = window_of_step(table.axis(), out.axis());
  const double steps_per_window =
      static_cast<double>(window.count()) / static_cast<double>(table.axis().step().count());
  const bool last_is_over = out.axis().span().to <= table.axis().span().to;
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    gather_row(table.row(gauge), window_of, steps_per_window, least_share, gauge, out);
    if (!last_is_over && out.step_count() > 0) out.set_missing(gauge, out.step_count() - 1);
  }
  return out;
}

}  // namespace gaugeloom
