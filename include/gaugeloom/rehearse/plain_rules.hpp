#pragma once
// Two rules that need no learning, to hold the checks against.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/long_sums.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// What a rule had to say at one window: a level that passes `threshold` is a call.
struct RuleEpisode {
  double peak = 0;
  std::optional<Instant> called;  // the end of the first window above the threshold
  Interval over;
};

// "Expected mm since the last tip": the neighbours' estimate summed over hours without rain, from
// one wet hour of the gauge to the next. One episode per dry run over which anything was expected.
std::vector<RuleEpisode> dry_sum_episodes(const RainTable& hours, const ExpectedDepths& expected,
                                          std::size_t gauge, double threshold_mm);

// "The residual of a day": |sqrt(observed) - sqrt(expected)| in mm^1/2, one episode per judged day.
std::vector<RuleEpisode> residual_episodes(const BlockSums& days, std::size_t gauge,
                                           double threshold);

// The threshold that exactly `calls` of the peaks pass (fewer where peaks are equal): the rule is
// given the benefit of having seen the very record it is scored on. 0 peaks or more.
double threshold_for(std::vector<double> peaks, std::size_t calls);

}  // namespace gaugeloom
