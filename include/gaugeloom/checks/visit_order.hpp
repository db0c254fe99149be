#pragma once
// Which gauge to visit first: the rain at stake, times how likely the fault is, times how far the
// next gauges are.

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// One gauge with at least one finding.
struct Visit {
  std::size_t gauge = 0;
  std::size_t finding = 0;       // row in the findings: the one that weighs most
  double fault_probability = 0;  // of that finding, 0 to 1
  std::string accepted = {};     // "accepted by NAME on DATE" when a reviewer did; else empty
  double at_stake_mm = 0;        // over all its findings
  double isolation = 1;          // of the gauge, see GaugeSummary
  double priority_mm = 0;        // what the order follows: probability x stake x isolation, summed
};

// Gauges with findings, the first to visit first; ties by id. not_testable is no reason to go.
//
// Probability: F findings of a kind are expected by chance to score as high in this record (the
// exponential tail behind its level, over `gauge_years`); n did. 1 - F/n of them are then true,
// within 0.05 and 0.99 (Y. Benjamini and Y. Hochberg, J. R. Stat. Soc. B 57, 1995, read as a local
// rate). Kinds without a learned level: 0.98 when confirmed, 0.5 when provisional; our choice. What
// a reviewer accepted is certain: 1.
// At stake: what was read too little or too much (of a clock offset: all it read), and while it
// lasts as much again as the same share of 30 days of its usual rain. What has ended counts a
// quarter: nothing more is lost, but what happened once tends to happen again; our choice.
//
// Law: the order of gauges and findings does not matter.
// Requires: result.gauges has a row per gauge; `days` > 0 is the length of the record; `reviews`
//           has a row per finding, or none when nothing was decided.
std::vector<Visit> visit_order(const Network& network, const CheckResult& result, double days,
                               double provisional_calls_per_gauge_year,
                               std::span<const FindingReview> reviews = {});

// The reason of the finding that weighs most, and "It was accepted by NAME on DATE." if it was.
std::string visit_reason(const Visit& visit, const Finding& finding);
// What to look at first on site, a sentence; common practice of the trade.
std::string_view look_first(FindingKind kind);
// What to mind on the way, a sentence.
std::string_view visit_caution();

}  // namespace gaugeloom
