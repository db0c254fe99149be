#include "gaugeloom/rain/outage.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

// The steps that share any time with `window`, as [first, last).
StepAxis::Range touching(const StepAxis& axis, const Interval& window) {
  if (axis.count() == 0 || !window.overlaps(axis.span())) return {};
  const Instant begin = axis.begin(0);
  const auto first = std::max(window.from, begin) - begin;
  const auto last = std::min(window.to, axis.span().to) - begin;
  const auto step = std::chrono::duration_cast<Duration>(axis.step());
  return {static_cast<std::size_t>(first / step),
          static_cast<std::size_t>((last + step - Duration(1)) / step)};
}

}  // namespace

MaskedSteps mask_outages(RainRecord& record, std::span<const Outage> outages) {
  RainTable& table = record.depths;
  MaskedSteps masked;
  for (const Outage& outage : outages) {
    GAUGELOOM_ASSERT(outage.gauge < table.gauge_count());
    const StepAxis::Range range = touching(table.axis(), outage.over);
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
