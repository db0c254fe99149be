#pragma once
// What every estimate of a record stands on. Gauges are in the order of their ids, so that sums
// over gauges do not depend on the order of the file.

#include <cstddef>
#include <span>
#include <vector>

#include "fill/neighbour_estimates_internal.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"

namespace gaugeloom::fill_internal {

struct Ground {
  RainTable depths;
  QualityTable quality;
  Donors donors;
  std::vector<Neighbourhood> around;  // one per gauge
  std::size_t hour_steps = 1;         // steps per hour; 1 when they are longer or do not divide it
  Variogram reach;
  FillOptions options;
  std::vector<double> bucket_mm;  // one per gauge

  std::size_t gauges() const { return depths.gauge_count(); }
  std::size_t steps() const { return depths.step_count(); }
  double hours(std::size_t step_count) const {
    return depths.axis().step_hours() * static_cast<double>(step_count);
  }
};

// 1 where the gauge has a usable value and 3 neighbours or more: leave-one-out is possible.
std::vector<char> testable_steps(const Ground& ground, std::size_t gauge,
                                 const NeighbourEstimates& estimates);

}  // namespace gaugeloom::fill_internal
