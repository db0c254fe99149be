#pragma once
// What the checks learn from a record about healthy gauges, so that it can be used on another one.

#include <cstddef>
#include <vector>

#include "gaugeloom/expect/duration_law.hpp"
#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/hour_law.hpp"
#include "gaugeloom/expect/miss_law.hpp"
#include "gaugeloom/expect/ratio_null.hpp"
#include "gaugeloom/rain/finding.hpp"

namespace gaugeloom {

// The level a score must reach to be called, and what it was learned from.
struct LearnedThreshold {
  FindingKind kind = FindingKind::blocked;
  double provisional = 0;
  double confirmed = 0;
  double tail_scale = 0;  // mean excess of accepted peaks, shrunk towards what theory gives
  std::size_t peaks = 0;  // accepted peaks it was learned from
  std::vector<double> scales = {};  // what else that check learned, in an order of its own
};

// Rows of `sites`, `miss` and `durations` are gauges of one network, in its order.
struct LearnedNulls {
  SiteRatios sites;
  MissLaw miss;
  RatioNull ratios;
  HourLaw hour_law;
  DurationLaws durations;  // learned last; no check uses them, but every total is held against them
  std::vector<LearnedThreshold> thresholds;  // in the order of the checks, one per kind at most

  // The one of that kind, or nullptr when its check learns none.
  const LearnedThreshold* threshold(FindingKind kind) const;
};

}  // namespace gaugeloom
