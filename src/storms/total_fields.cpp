#include "gaugeloom/storms/total_fields.hpp"

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

TotalFields total_fields(const RainTable& depths, std::span<const StepAxis::Range> windows,
                         std::span<const std::size_t> rows) {
  TotalFields fields{BulkVector<float>(rows.size() * windows.size()), rows.size(), windows.size()};
  for (std::size_t r = 0; r < rows.size(); ++r)
    for (std::size_t w = 0; w < windows.size(); ++w)
      fields.totals_mm[r * windows.size() + w] =
          static_cast<float>(window_sum(depths, rows[r], windows[w].first, windows[w].last));
  return fields;
}

std::vector<StepAxis::Range> windows_beside(StepAxis::Range window, std::size_t steps) {
  GAUGELOOM_ASSERT(window.first < window.last && window.last <= steps);
  const std::size_t length = window.last - window.first;
  std::vector<StepAxis::Range> windows;
  for (std::size_t first = window.first % length; first + length <= steps; first += length)
    windows.push_back({first, first + length});
  return windows;
}

}  // namespace gaugeloom
