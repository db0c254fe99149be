#pragma once
// Runs of the same non-zero depth, step after step, as rain would not give them: of a stuck value,
// or of an outlet that passes all it can.

#include <cstddef>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

struct EqualRun {
  std::size_t gauge = 0;
  std::size_t first = 0;  // steps [first, last)
  std::size_t last = 0;
  std::size_t size_class = 0;  // of its depth, in buckets
  double score = 0;            // nats
  std::size_t called = 0;      // step
  // What the neighbours lead us to expect over its hours, and from the beginning of that storm.
  double expected_mm = 0;
  double storm_mm = 0;
  double observed_mm = 0;

  std::size_t length() const { return last - first; }
  // An outlet passes no more than has fallen: 30 % of the run or more was expected since the storm
  // began; not all of it, as a cap shows best where the shower was heaviest. A stuck value repeats
  // itself whatever the weather. Our choice.
  bool is_outlet() const { return storm_mm >= 0.3 * observed_mm; }
};

struct EqualRuns {
  std::vector<EqualRun> runs;  // of 6 steps or more that reach the level, by gauge, then time
  LearnedThreshold threshold;  // of stuck
};

// A finding of that kind over the run, with all but neighbours and words; confirmed from
// `confirmed_score` on. It has no end while the run lasts.
Finding finding_of(const CheckContext& context, const EqualRun& run, FindingKind kind,
                   double confirmed_score);

// How its score grew, step by step.
ScoreGrowth growth_of(const CheckContext& context, const EqualRun& run,
                      const LearnedThreshold& level);

// A run of n equal steps scores -(n - 1) log q, q being how often, on this network, a step of about
// that many buckets is followed by exactly the same depth.
EqualRuns find_equal_runs(const CheckContext& context);

}  // namespace gaugeloom
