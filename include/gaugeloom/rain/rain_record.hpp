#pragma once
// What a rain file holds: depths per step, totals over longer spans, and the qualities it came
// with.

#include <cstddef>
#include <vector>

#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/rain/site_visit.hpp"
#include "gaugeloom/rain/temperature.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// A measured total over `over`, its course within unknown. The steps it covers are missing in the
// table.
struct AccumulatedTotal {
  std::size_t gauge = 0;
  Interval over;
  double depth_mm = 0;
};

// What a gauge said in a step that is missing in the table because it cannot have been rain.
struct RefusedDepth {
  std::size_t gauge = 0;
  std::size_t step = 0;
  float depth_mm = 0;
};

// A step whose depth came from the second counter of its bucket.
struct OtherCounterStep {
  std::size_t gauge = 0;
  std::size_t step = 0;
};

struct RainRecord {
  RainTable depths;                      // rows in the order of the network
  std::vector<AccumulatedTotal> totals;  // by gauge, then by time
  QualityTable quality;  // as given by the input; empty (steps == 0) when it gave none
  std::vector<TemperatureReading> temperatures;  // in any order; empty where none are known
  std::vector<RefusedDepth> refused;             // by gauge, then by step, once each
  std::vector<OtherCounterStep> other_counter;   // in any order; measured like any other step
  std::vector<SiteVisit> visits;                 // whose test tips are refused (rain/test_tips.hpp)
  // What the gauges counted, where some depths are those of tips corrected for intensity or were
  // moved by a shift (checks/reviewed.hpp); without gauges where depths are just what was said.
  RainTable counted;
};

}  // namespace gaugeloom
