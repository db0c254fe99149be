#pragma once
// Paths of running scores as the checks record them, and what is kept of them.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/checks/learned_nulls.hpp"
#include "gaugeloom/checks/score_growth.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The score after a step or hour of some axis.
struct ScoreAt {
  std::size_t at = 0;
  double score = 0;
};
using ScorePath = std::vector<ScoreAt>;  // `at` rises

// For each step the higher score of the two.
ScorePath higher_of(const ScorePath& a, const ScorePath& b);

// The points to keep of a growth that was told at `called`: see score_growth.hpp.
// Laws: first, last, highest and the latest point until `called` stay; what stays is unchanged.
std::vector<ScorePoint> thinned(std::vector<ScorePoint> points, Instant called);

// What is kept of the points, held against both levels.
ScoreGrowth growth_of(std::vector<ScorePoint> points, const LearnedThreshold& levels,
                      Instant called);
// Of a path along `axis`, held against both levels.
ScoreGrowth growth_along(const StepAxis& axis, std::span<const ScoreAt> path,
                         const LearnedThreshold& levels, Instant called);

// One point for each, at its call: scores that are there at once, held against no level.
std::vector<ScoreGrowth> grown_when_called(std::span<const Finding> findings);

}  // namespace gaugeloom
