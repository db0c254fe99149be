#include "gaugeloom/rain/series_record.hpp"

#include <limits>
#include <utility>

namespace gaugeloom {

SeriesRecord unchecked_record(RainTable observed, Quality measured) {
  SeriesRecord record;
  const std::size_t gauges = observed.gauge_count();
  const std::size_t steps = observed.step_count();
  record.quality = QualityTable(gauges, steps, Quality::missing);
  record.origin.assign(gauges * steps, Origin::none);
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < steps; ++s)
      if (observed.is_measured(g, s)) {
        record.quality.at(g, s) = measured;
        record.origin[g * steps + s] = Origin::measured;
      }
  record.depth = observed;
  record.observed = std::move(observed);
  return record;
}

SeriesRecord unchecked_record(const RainRecord& rain, Quality measured) {
  SeriesRecord record = unchecked_record(rain.depths, measured);
  for (const OtherCounterStep& one : rain.other_counter) {
    Origin& origin = record.origin[record.index(one.gauge, one.step)];
    if (origin == Origin::measured) origin = Origin::other_counter;
  }
  if (rain.counted.gauge_count() > 0) record.observed = rain.counted;
  record.refused = rain.refused;
  return record;
}

RainTable measured_depths(const SeriesRecord& record) {
  RainTable measured = record.depth;
  for (std::size_t g = 0; g < measured.gauge_count(); ++g)
    for (std::size_t s = 0; s < measured.step_count(); ++s) {
      const Origin origin = record.origin[record.index(g, s)];
      if (origin != Origin::measured && origin != Origin::other_counter) measured.set_missing(g, s);
    }
  return measured;
}

void make_room_for_bounds(SeriesRecord& record) {
  record.low_mm.assign(record.origin.size(), std::numeric_limits<float>::quiet_NaN());
  record.high_mm = record.low_mm;
  record.standard_error_mm = record.low_mm;
}

}  // namespace gaugeloom
