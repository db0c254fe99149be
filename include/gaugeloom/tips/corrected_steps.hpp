#pragma once
// The rain of a corrected gauge on the steps of a table, with what it cannot know left missing.

#include <chrono>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/tips/correct_gauge.hpp"

namespace gaugeloom {

// The axis that holds all tips of `record`, or begins and ends where judge.from and judge.to say,
// widened to whole steps, which are counted from `day_start` after 00:00 UTC. Empty where there is
// no tip and no such time.
// Throws: Error{invalid_option} unless 1 min <= step <= 1 d and a day is a whole number of steps.
StepAxis tip_axis(const TipRecord& record, std::chrono::seconds step,
                  std::chrono::minutes day_start, const JudgeOptions& judge);

// Both tables have the axis of tip_axis and are all missing in the row of the gauge before.
struct StepTables {
  RainTable counted;    // kept tips times bucket
  RainTable corrected;  // for intensity
};

// Writes the steps of one gauge, in whole thousandths of a mm (round_to_thousandths), and returns
// what it refused.
//   watched   when the counter is known to have been alive; without it, from the step of its first
//             kept tip to that of its last: a zero is measured only then, else missing
//   outages   zeros of steps that share time with one are missing
//   visits    a step of which test tips or a pour took a tenth or more is missing, and what it held
//             is refused: rain cannot be told from them. Shorter ones leave the rest of the step as
//             good as it was; our choice.
// Law (a test): the steps and the refused depths add up to the inflow, within 0.001 mm.
// Touches only the row of `gauge`: rows may be written in parallel.
std::vector<RefusedDepth> write_steps(const CorrectedGauge& corrected, const GaugeFacts& facts,
                                      const std::optional<Interval>& watched, std::size_t gauge,
                                      StepTables& tables);

}  // namespace gaugeloom
