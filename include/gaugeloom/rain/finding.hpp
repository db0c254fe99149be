#pragma once
// What a check found: one episode of one gauge.

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

enum class FindingKind {
  blocked,            // no tips while the neighbours are wet
  partly_blocked,     // a trickle while the neighbours are wet
  release_burst,      // stored water let go at once
  phantom_rain,       // tips while nothing near is wet
  reads_low,          // less than its neighbours explain
  reads_high,         // more than its neighbours explain
  calibration_step,   // its ratio to the neighbours jumped
  calibration_drift,  // its ratio to the neighbours crept
  clock_offset,       // right rain at the wrong time
  double_count,       // every tip twice
  counter_dead,       // the counter or its link, not the funnel
  impossible_rate,    // beyond the world record or the gauge's own rating
  stuck,              // the same value over and over
  not_testable,       // nothing to hold it against
};

enum class Tier { provisional, confirmed };

struct Finding {
  std::size_t gauge = 0;  // row in the network
  FindingKind kind = FindingKind::not_testable;
  Tier tier = Tier::provisional;
  Instant from;               // half-open: [from, to)
  std::optional<Instant> to;  // absent while it lasts
  Instant called;             // the step at which someone watching live would have been told
  double score = 0;           // in nats unless the page of the check says otherwise
  double observed_mm = 0;     // over [from, to)
  double expected_mm = 0;     // what the neighbours lead us to expect over it; NaN when unknown
  // Of a clock offset: how much later than true the rain is stamped; NaN for other kinds.
  double shift_minutes = std::numeric_limits<double>::quiet_NaN();
  std::vector<std::size_t> neighbours;  // rows of the gauges it was held against
  std::string reason;                   // one to three plain sentences
  std::string innocent_explanation;     // the best one
};

std::string_view word(FindingKind kind);
std::string_view word(Tier tier);
std::optional<FindingKind> parse_finding_kind(std::string_view text);

// Whether what was read under such a finding, however sure, is still worth more than any estimate
// from the neighbours: a calibration that is off by a known share.
bool keeps_its_depths(FindingKind kind);

// Whether two findings are of the same gauge and share time.
bool overlap(const Finding& a, const Finding& b);

// Stable while gauge, kind and beginning stay the same: "V07-blocked-20210304T1000Z".
std::string finding_id(std::string_view gauge_id, const Finding& finding);

}  // namespace gaugeloom
