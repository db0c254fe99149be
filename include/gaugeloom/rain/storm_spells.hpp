#pragma once
// When it rained over the network: storms, parted by dry hours at nearly all gauges.

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct StormSpellOptions {
  // The common inter-event time of 6 h. Source: common practice in urban hydrology, from memory.
  std::chrono::seconds dry_gap{6 * 3600};
  double dry_share = 0.9;  // of the gauges that said anything; above 0, at most 1

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct StormSpell {
  Interval over;                // from the first wet hour to the end of the last one
  double mean_depth_mm = 0;     // mean over the gauges of what they read in it; missing steps add
                                // nothing, gauges that said nothing do not count
  StepAxis::Range steps{0, 0};  // of the table: those of `over`
  bool running = false;         // the record ends before the dry gap has passed: it may go on
};

// The storms of the record, in order of time. An hour of UTC (a longer step stands for itself) is
// dry when at least dry_share of the gauges that said anything in it read 0; a storm ends when dry
// hours last dry_gap or more. An hour in which nobody said anything is dry. Hours and not steps,
// because at a fine step the gauges of one storm tip at different steps, so that hardly a step is
// wet at many of them. Storms begin and end with steps of the table. Laws (each one is a test):
//   (1) between two storms lie dry_gap or more;
//   (2) every step of an hour that is wet at more than 1 - dry_share of the gauges lies in one;
//   (3) the order of the gauges does not matter;
//   (4) steps added after the end of the record change no storm but one that is running.
// Throws: Error{invalid_option} if options.problem() has one. Cost: two passes over the table.
std::vector<StormSpell> storm_spells(const RainTable& table, const StormSpellOptions& options = {});

}  // namespace gaugeloom
