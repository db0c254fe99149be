#pragma once
// The raw tips of one gauge to its rain: every tip judged, what is kept corrected for intensity.

#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/tips/counter_tips.hpp"
#include "gaugeloom/tips/gauge_facts.hpp"
#include "gaugeloom/tips/inflow.hpp"
#include "gaugeloom/tips/judged_tips.hpp"
#include "gaugeloom/tips/pour_factors.hpp"
#include "gaugeloom/tips/tip_record.hpp"
#include "gaugeloom/tips/two_counters.hpp"

namespace gaugeloom {

struct CorrectOptions {
  JudgeOptions judge;
  InflowOptions inflow;
  bool correct_intensity = true;
  bool apply_pours = false;  // what pours say of a bucket holds after them (tips/pour_factors.hpp)

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct CorrectedGauge {
  std::vector<CounterTips> counters;  // as in the trains
  std::vector<Interval> elsewhere;    // spells taken from another counter than usual
  CounterAccount account;             // what the counters say of each other
  InflowSeries inflow;                // of the kept tips
  std::vector<BucketFactor> factors;  // that pours brought; none where they are not applied
};

// By what a gauge is corrected: declared, else none when not asked for, else its table, else none
// for one with bursts, else its loss time.
IntensityCorrection correction_of(const GaugeFacts& facts, const CorrectOptions& options);

// Pours are applied by the usual counter, and never to a gauge declared corrected.
//
// Judges the tips of each counter, chooses among counters (tips/two_counters.hpp), and corrects.
// The vectors of `tips` are moved from.
//
// Laws (each one is a test): (1) the corrected depths of the tips add up to those of the inflow;
//   (2) counted depth of all tips = that of the inflow + that of the tips of every other fate.
// Requires: facts.rows not empty. Throws: Error{invalid_option} for options.problem().
// Cost: linear in the tips.
CorrectedGauge correct_gauge(GaugeTips tips, const GaugeFacts& facts,
                             const CorrectOptions& options = {}, const ExpectedTips& expected = {});

}  // namespace gaugeloom
