#pragma once
// What a rehearsal says, in rows for people: by kind of fault, and by gauge.

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "gaugeloom/rehearse/rehearsal.hpp"

namespace gaugeloom {

// One kind and size of fault. Shares and quantiles are of the telling faults, NaN without any; a
// fault that was not found counts as found after endless rain, so a quantile that falls among
// those is infinite.
struct RehearsalRow {
  std::string fault;
  std::string size;
  std::size_t planted = 0;
  std::size_t telling = 0;  // enough rain fell to tell (fault_outcome.hpp)
  double found = 0;         // in any tier
  double confirmed = 0;
  double named_right = 0;
  std::string called_as;  // what the first call most often said; the first in order of equals
  // Called while less than so much was hidden, of those that hid as much in all. NaN where the
  // fault hides nothing.
  double before_5_mm = 0;
  double before_10_mm = 0;
  double median_mm = 0;  // hidden when called; fallen, where the fault hides nothing
  double p90_mm = 0;
  double median_onset_error_mm = 0;  // of those found
  double median_storms = 0;          // wet storms to the call
  double p90_storms = 0;
  double shift_right = 0;  // of clock shifts: share named within one step (at least 15 min)
  // The plain rules, on faults that hide rain; NaN elsewhere.
  double dry_sum_before_10_mm = 0;
  double dry_sum_median_mm = 0;
  double residual_before_10_mm = 0;
  double residual_median_mm = 0;
  double found_by_cusum = 0;  // share of any fault
  NeighbourCalls neighbours;
};

// Rows in the order of fault_variants(), those that were never planted included. `step` is that of
// the record.
std::vector<RehearsalRow> rehearsal_rows(const Rehearsal& rehearsal, std::chrono::seconds step);

// One gauge: what became of its full blocks, and how often it was called for nothing.
struct GaugeRehearsal {
  std::size_t blocks = 0;   // planted
  std::size_t telling = 0;  // hid 10 mm or more
  double before_5_mm = 0;   // as above
  double before_10_mm = 0;
  double median_mm = 0;
  FalseCalls untouched;
};

// One per gauge, in the order of the network.
std::vector<GaugeRehearsal> gauge_rehearsals(const Rehearsal& rehearsal);

// The false calls of all gauges together.
FalseCalls false_calls(const Rehearsal& rehearsal);

}  // namespace gaugeloom
