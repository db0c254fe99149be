#pragma once
// The record of a network after checking and, perhaps, filling: for every gauge and step what the
// gauge said, what is to be used, how far it can be believed and where it came from.

#include <cstddef>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// All parts have the same gauges and steps, gauge-major. Index of a value: gauge * steps + step.
// Laws: observed is the input, bit for bit; where origin is measured, depth equals observed (or is
// that corrected for intensity, or that of a step a reviewer shifted), bounds and error are NaN;
// where quality is missing, depth is missing. Bounds and errors are all empty where nothing at all
// was estimated: they would take half of the memory.
struct SeriesRecord {
  RainTable observed;
  RainTable depth;
  QualityTable quality;
  BulkVector<Origin> origin;
  BulkVector<float> low_mm;   // 5 % bound, NaN where measured or missing
  BulkVector<float> high_mm;  // 95 % bound
  BulkVector<float> standard_error_mm;
  std::vector<RefusedDepth> refused;  // as in the input: said by the gauge, missing in `observed`

  std::size_t index(std::size_t gauge, std::size_t step) const {
    return gauge * observed.step_count() + step;
  }
};

// A record straight from the input: what is measured is `quality`, the rest missing; no bounds.
SeriesRecord unchecked_record(RainTable observed, Quality measured = Quality::unchecked);

// The same with what else the input said: which steps the other counter gave, and what was refused.
SeriesRecord unchecked_record(const RainRecord& rain, Quality measured = Quality::unchecked);

// What was measured and stands: the depths whose origin is the gauge or the other counter of its
// bucket; all else is missing.
RainTable measured_depths(const SeriesRecord& record);

// Makes bounds and errors NaN throughout, ready to be set.
void make_room_for_bounds(SeriesRecord& record);

}  // namespace gaugeloom
