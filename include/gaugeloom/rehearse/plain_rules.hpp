#pragma once
// Rules that need no learning, to hold the checks against.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/core/modified_z.hpp"
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

// "The residual of a day": sqrt(observed) - sqrt(expected) as a modified z score among those of the
// gauge's own judged days on which 1 mm or more was read or expected, either way; one episode per
// such day.
std::vector<RuleEpisode> residual_episodes(const BlockSums& days, std::size_t gauge,
                                           double threshold);

// "The sum of days off": for changes of gain, a cumulative sum (allowance 0.5) of the modified z
// scores of the days' log ratios, log((observed + bucket) / (expected + bucket)), on judged days
// with 2 mm or more expected; no day counts for more than 3. An episode lasts from one time that
// nothing is left of the sums to the next.
struct DayRatios {
  std::vector<std::size_t> days;
  std::vector<double> log_ratios;
};
DayRatios day_ratios(const BlockSums& days, std::size_t gauge, double bucket_mm);
std::vector<RuleEpisode> cusum_episodes(const DayRatios& ratios, const StepAxis& days,
                                        const ModifiedZ& usual, double threshold);

// The threshold that exactly `calls` of the peaks pass (fewer where peaks are equal): the rule is
// given the benefit of having seen the very record it is scored on. 0 peaks or more.
double threshold_for(std::vector<double> peaks, std::size_t calls);

}  // namespace gaugeloom
