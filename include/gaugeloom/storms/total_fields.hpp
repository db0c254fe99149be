#pragma once
// The totals of all gauges over many windows: what the variogram of a map and the worth of
// elevation are learned from.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

struct TotalFields {
  BulkVector<float> totals_mm;  // gauge-major, a field per window; NaN where a step is missing
  std::size_t gauges = 0;
  std::size_t windows = 0;

  FieldRecord view() const { return {totals_mm, gauges, windows}; }
};

// The totals over each window of the gauges in `rows`, in their order.
// Requires: windows within the table. Cost: the steps of the windows, once.
TotalFields total_fields(const RainTable& depths, std::span<const StepAxis::Range> windows,
                         std::span<const std::size_t> rows);

// The windows as long as `window` that follow each other without a gap, of which it is one, as far
// as the record reaches both ways. By time. Requires: window.first < window.last.
std::vector<StepAxis::Range> windows_beside(StepAxis::Range window, std::size_t steps);

}  // namespace gaugeloom
