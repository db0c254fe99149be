#pragma once
// The score of a check as it grew over one finding.

#include <cstddef>
#include <optional>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

inline constexpr std::size_t kMostScorePoints = 600;

// What the score was at a time: of all that had been read until then.
struct ScorePoint {
  Instant time;
  double score = 0;

  bool operator==(const ScorePoint&) const = default;
};

// Points in order of time, at most kMostScorePoints; of more the lowest and the highest of each of
// many stretches are kept, and the first, the last, the highest and the latest until the call.
//
//   blocked                    every hour that speaks, until the next good tip
//   partly_blocked, reads_low  of a narrowed outlet: every hour of the spell, the outlet that fits
//                              best so far; of equal depths as stuck, of a drip as phantom_rain
//   double_count               every wet step of the run
//   stuck                      every step of the run
//   phantom_rain               every lone hour, an hour later, when all around stayed dry
//   clock_offset               every judged day of the run
//   calibration_step, _drift   at most 60 judged days since the change and that of the call: the
//                              best change of that shape and direction until then, 0 for none
//   reads_low, reads_high      of a change of ratio: every judged day since the change. Of a ratio
//                              that no site explains: one point, at the call
//   counter_dead               one point, at the end: onset, return and companions are weighed then
//   release_burst, impossible_rate   one point, at the call
//   not_testable               none
//
// Laws (each one is a test):
//   (1) the highest point is exactly Finding::score; of a change (calibration, ratio) the last is,
//       as a change may have looked clearer before;
//   (2) where a check calls by its level, the latest point until the call is at or above
//       `provisional`. It may ask for more than the level (2 mm missing, five days), so that
//       earlier points are above it too; and where another check, or another sign, told the same
//       fault first, Finding::called is that one's.
struct ScoreGrowth {
  std::vector<ScorePoint> points;
  // The levels that it is held against, where there are such. Without `confirmed` another measure
  // decides how sure the finding is.
  std::optional<double> provisional;
  std::optional<double> confirmed;
};

}  // namespace gaugeloom
