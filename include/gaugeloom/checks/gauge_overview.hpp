#pragma once
// One row per gauge for the people who look after them: what it read, what is missing or filled,
// what was found, and in which order to visit.

#include <cstddef>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/checks/visit_order.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/series_record.hpp"

namespace gaugeloom {

struct GaugeOverview {
  double observed_mm = 0;                                      // all that the gauge said
  double total_mm = std::numeric_limits<double>::quiet_NaN();  // of the series; NaN when any step
                                                               // is missing
  double share_missing = 0;                                    // of all steps: nothing was said
  double share_estimated = 0;                                  // of all steps: replaced or filled
  std::size_t confirmed = 0;  // findings, not counting not_testable
  std::size_t provisional = 0;
  std::size_t visit_rank = 0;  // 1 = go there first
  std::string visit_reason;    // one plain sentence
};

// First the gauges of `visits`, in that order; then those that miss more than a tenth of their
// steps, the most first; then the rest by id.
//
//   record     the series as written; findings in any order
//   visits     see visit_order.hpp; may be empty
//   summaries  one per gauge, or none where the network was not checked; "nothing found" says from
//              them what would have been noticed
//   returns    one row per gauge, in the order of the network
// Law: the order of findings and gauges does not matter.
// Requires: record.observed.gauge_count() == network.size(). Cost: one pass over the record.
std::vector<GaugeOverview> gauge_overview(const Network& network, const SeriesRecord& record,
                                          std::span<const Finding> findings,
                                          std::span<const Visit> visits,
                                          std::span<const GaugeSummary> summaries);

}  // namespace gaugeloom
