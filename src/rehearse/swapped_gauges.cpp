#include "gaugeloom/rehearse/swapped_gauges.hpp"

#include <cmath>

namespace gaugeloom {

void swap_gauges(RainTable& table, std::size_t first_gauge, std::size_t second_gauge,
                 StepAxis::Range swapped) {
  const auto put = [&](std::size_t gauge, std::size_t step, float depth_mm) {
    std::isnan(depth_mm) ? table.set_missing(gauge, step) : table.set(gauge, step, depth_mm);
  };
  for (std::size_t step = swapped.first; step < swapped.last; ++step) {
    const float first = table.depth_mm(first_gauge, step);
    const float second = table.depth_mm(second_gauge, step);
    put(first_gauge, step, second);
    put(second_gauge, step, first);
  }
}

}  // namespace gaugeloom
