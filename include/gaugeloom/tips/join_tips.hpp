#pragma once
// Gauges that came as tips beside those that came as depths, in one record.

#include <cstddef>

#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/tips/correct_network.hpp"

namespace gaugeloom {

// Steps for which both were given.
struct TwiceGiven {
  std::size_t gauges = 0;
  std::size_t first = 0;  // of those gauges
  std::size_t steps = 0;
  double depths_mm = 0;    // what the depths say of them, and is not used
  double tips_mm = 0;      // what the corrected tips say
  std::size_t totals = 0;  // accumulated totals over steps that tips measured, left out
};

// Adds the steps of corrected tips to a record, which then reaches over
// both and keeps in `counted` what the tips counted, in `other_counter` the word for it, and in
// `refused` what test tips spoilt. Where a step has both a depth and tips the tips hold: they are
// what was measured. Qualities of the depths stay; those of steps from tips are unchecked.
//
// In a record without steps all gauges come as tips; else a gauge without a tip is one that does
// not, and nothing is known of its zeros.
// Laws (each one is a test): (1) the sum over all steps that only one of them measured is kept;
//   (2) a step that neither measured is missing.
// Requires: as many gauges in both; where the record has steps, the same step, and ends of steps
// that fall together. Cost: one pass over both, 8 bytes per gauge and step.
TwiceGiven join_tips(RainRecord& record, const CorrectedNetwork& tips);

}  // namespace gaugeloom
