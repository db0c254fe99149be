#pragma once
// What every check sees, and what every check returns.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/checks/check_options.hpp"
#include "gaugeloom/checks/learned_nulls.hpp"
#include "gaugeloom/checks/score_growth.hpp"
#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/hour_law.hpp"
#include "gaugeloom/expect/long_sums.hpp"
#include "gaugeloom/expect/miss_law.hpp"
#include "gaugeloom/expect/neighbourhood.hpp"
#include "gaugeloom/expect/ratio_null.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// A view of one state of the check: nothing is owned. Rows are gauges of the network everywhere.
struct CheckContext {
  const Network& network;
  const RainTable& steps;  // as read
  // Gathered to hours, or as read when the step is longer; missing where it was cold.
  const RainTable& hours;
  const Neighbourhoods& around;
  const ExpectedDepths& expected;  // of `hours`
  const Exclusions& excluded;      // hours not accepted: they teach nothing
  const BlockSums& days;           // of `hours` and `expected`
  const MissLaw& miss;
  const RatioNull& ratios;
  const HourLaw& hour_law;
  std::span<const double> site_ratio;
  const CheckOptions& options;
  double gauge_years = 0;                // of measured, testable hours
  std::span<const Finding> earlier;      // of the checks before this one in the registry
  const LearnedNulls* frozen = nullptr;  // learned elsewhere; nothing is learned here then
  bool keep_growth = false;              // whether CheckOutcome::growth is asked for

  // The frozen threshold of a check, or nullptr when it has to be learned from this record.
  // Throws Error{inconsistent_input} when what was frozen has none of that kind, or not that many
  // scales of at least so much each.
  const LearnedThreshold* frozen_threshold(FindingKind kind, std::size_t scales = 0,
                                           double least_scale = 0) const;
};

struct CheckOutcome {
  std::vector<Finding> findings;
  std::optional<LearnedThreshold> threshold;  // absent for checks that learn none
  std::vector<ScoreGrowth> growth;            // one per finding with context.keep_growth, else none
};

}  // namespace gaugeloom
