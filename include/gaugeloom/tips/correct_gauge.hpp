#pragma once
// The raw tips of one gauge to its rain: every tip judged, what is kept corrected for intensity.

#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/tips/gauge_facts.hpp"
#include "gaugeloom/tips/inflow.hpp"
#include "gaugeloom/tips/judged_tips.hpp"
#include "gaugeloom/tips/tip_record.hpp"

namespace gaugeloom {

struct CorrectOptions {
  JudgeOptions judge;
  InflowOptions inflow;
  bool correct_intensity = true;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// All tips of one counter. The depths have one entry per tip.
struct CounterTips {
  std::uint8_t counter = 0;
  JudgedTips tips;
  std::vector<float> counted_mm;    // the bucket, whatever the fate
  std::vector<float> corrected_mm;  // 0 unless kept
};

struct CorrectedGauge {
  std::vector<CounterTips> counters;  // as in the trains
  std::size_t used = 0;               // index of the one that the rain is taken from
  InflowSeries inflow;                // of the kept tips of that one
};

// By what a gauge is corrected: declared, else none when not asked for, else its table, else none
// for one with bursts, else its loss time.
IntensityCorrection correction_of(const GaugeFacts& facts, const CorrectOptions& options);

// Judges and corrects. The vectors of `tips` are moved from. Of two counters of one bucket the one
// with more kept tips is used, since a dead link explains the short one; but where one has 1.8 to
// 2.2 times the tips of the other, of 20 or more, it counts every turn twice, and the other is
// used. Tips of the other are kept in the log as other_counter; never are two counters added or
// averaged. Laws (each one is a test): (1) the corrected depths of the tips add up to those of the
// inflow;
//   (2) counted depth of all tips = that of the inflow + that of the tips of every other fate.
// Requires: facts.rows not empty. Throws: Error{invalid_option} for options.problem().
// Cost: linear in the tips.
CorrectedGauge correct_gauge(GaugeTips tips, const GaugeFacts& facts,
                             const CorrectOptions& options = {});

}  // namespace gaugeloom
