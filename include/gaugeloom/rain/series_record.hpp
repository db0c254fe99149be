#pragma once
// The record of a network after checking and, perhaps, filling: for every gauge and step what the
// gauge said, what is to be used, how far it can be believed and where it came from.

#include <cstddef>
#include <vector>

#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// All parts have the same gauges and steps, gauge-major. Index of a value: gauge * steps + step.
// Laws: observed is the input, bit for bit; where origin is measured, depth equals observed and the
// bounds and the error are NaN; where quality is missing, depth is missing.
struct SeriesRecord {
  RainTable observed;
  RainTable depth;
  QualityTable quality;
  std::vector<Origin> origin;
  std::vector<float> low_mm;   // 5 % bound, NaN where measured or missing
  std::vector<float> high_mm;  // 95 % bound
  std::vector<float> standard_error_mm;
  std::vector<RefusedDepth> refused;  // as in the input: said by the gauge, missing in `observed`

  std::size_t index(std::size_t gauge, std::size_t step) const {
    return gauge * observed.step_count() + step;
  }
};

// A record straight from the input: what is measured is `quality`, the rest missing.
SeriesRecord unchecked_record(RainTable observed, Quality measured = Quality::unchecked);

}  // namespace gaugeloom
