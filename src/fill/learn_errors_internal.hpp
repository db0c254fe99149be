#pragma once
// How wrong the estimates of a plan are, by leave-one-out: per step, and over longer durations.

#include <array>
#include <vector>

#include "fill/error_bins_internal.hpp"
#include "fill/learn_plan_internal.hpp"

namespace gaugeloom::fill_internal {

// Two-part errors of single steps. Wet estimates go by their size and the weight of the wet
// neighbours (a third, two thirds, all), dry ones by how near they were to wet (root estimate over
// the threshold, in quarters; exactly 0 first).
struct StepErrors {
  std::array<std::vector<ErrorBin>, 3> wet;
  std::array<DryErrors, 5> dry;
  double typical_variance = 1;  // mean error variance of the weights it was learned with

  // Bounds that hold the estimate; wider where the weights' variance is above the typical one, by
  // the ratio of the standard deviations, at most 2.5 times.
  DepthError at(double estimate_mm, double wet_share, double root_share, double variance) const;
};

struct LearnedErrors {
  StepErrors steps;
  DurationErrors durations;
  double hourly_coverage = 0;  // of bands learned on one half of the record, in the other half;
  double daily_coverage = 0;   // where the estimate is above 0; NaN when too few
};

// Durations: the step, 1 h, 6 h, 24 h, 7 d, 30 d, as far as they are longer and at least 60 windows
// have 80 % of their steps tested and a wet estimate.
LearnedErrors learn_errors(const Ground& ground, const Learned& learned);

}  // namespace gaugeloom::fill_internal
