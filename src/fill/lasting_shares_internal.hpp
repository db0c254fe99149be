#pragma once
// How long the errors of one gauge's estimates last: chosen so that sums of draws over a few hours
// and a day are as uncertain as was learned for sums (fill/duration_errors.hpp).

#include <chrono>
#include <span>
#include <vector>

#include "fill/step_law_internal.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom::fill_internal {

// What each scale contributes to the variance of the latent number; they add up to 1. `scales` rise
// and begin with the step; `runs` are steps that are drawn, without gaps.
//
// Each run is cut into windows as long as each scale beyond the step; those with 1 mm or more are
// kept, at most 8 per scale, evenly from all. The variance of a sum of draws follows from the laws
// of its steps and the correlation of their numbers, by their first 4 Hermite polynomials (M. G.
// Kendall and A. Stuart, The Advanced Theory of Statistics, vol. 1, section 6.14). Scale by scale,
// the share that lasts beyond it is found by halving, so that the variance is on average that which
// was learned at that duration; where even the extremes do not reach it, the nearest. Without
// windows, half of what lasts longer than a scale lasts beyond the next.
std::vector<double> lasting_shares(const FillResult& filled, std::size_t gauge,
                                   const StepLaws& laws, std::span<const StepAxis::Range> runs,
                                   std::span<const std::chrono::seconds> scales);

}  // namespace gaugeloom::fill_internal
