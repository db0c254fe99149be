#include "gaugeloom/rain/outage.hpp"

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
MaskedSteps mask_outages(RainRecord& record, std::span<const Outage> outages) {
  RainTable& table = record.depths;
  MaskedSteps masked;
  for (const Outage& outage : outages) {
    GAUGELOOM_ASSERT(outage.gauge < table.gauge_count());
    const StepAxis::Range range = table.axis().touching(outage.over);
    for (std::size_t step = range.first; step < range.last; ++step) {
      if (!table.is_measured(outage.gauge, step)) continue;
      if (table.depth_mm(outage.gauge, step) > 0) {
        ++masked.with_rain;
        continue;
      }
      table.set_missing(outage.gauge, step);
      if (record.quality.steps > 0) record.quality.at(outage.gauge, step) = Quality::missing;
      ++masked.zeros;
    }
  }
  return masked;
}

}  // namespace gaugeloom
