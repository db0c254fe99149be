#pragma once
// Checks a whole network: what was read is held against what the neighbours lead us to expect.
//
// Depths are gathered to hours (or kept, when the step is longer). Every gauge is estimated from
// its neighbours alone; what a healthy gauge does under such an estimate is learned from the
// network itself; episodes that do not fit are called. The worst are then left out of their
// neighbours' estimates and everything is learned again, so that one bad gauge does not condemn
// those around it.

#include <limits>
#include <string>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/checks/check_options.hpp"
#include "gaugeloom/checks/consistency.hpp"
#include "gaugeloom/checks/finding_evidence.hpp"
#include "gaugeloom/checks/learned_nulls.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_record.hpp"

namespace gaugeloom {

// One row per gauge of the network.
struct GaugeSummary {
  double observed_mm = 0;                                         // over its measured steps
  double expected_mm = std::numeric_limits<double>::quiet_NaN();  // over the same, testable hours
  double share_missing = 0;                                       // of all steps
  double share_testable = 0;                                      // of its measured hours
  double site_ratio = 1;       // its rain over its neighbours', as it has always been
  std::size_t neighbours = 0;  // gauges it can be held against
  // Mean distance to the gauges it is held against, over the network's median of it; within 1/2 and
  // 3, and 3 without any: what the network loses without the gauge grows with it.
  double isolation = 1;
  // Median rain lost before a full block would have been called here; NaN when it would never be.
  double smallest_block_mm = std::numeric_limits<double>::quiet_NaN();
  // The smallest fall of calibration, in percent, that would have been called four times in five
  // had it come at the best time of the record; NaN where that is more than 50 %.
  double smallest_step_percent = std::numeric_limits<double>::quiet_NaN();
};

// How often a healthy gauge has an hour without a tip, by what its neighbours read.
struct LearnedMissRate {
  double depth_from_mm = 0;   // expected depth of the hour, at least
  double wet_share_from = 0;  // share of the neighbours that were wet, at least
  bool dry_before = false;    // the gauge had already been dry while they were wet
  std::size_t hours = 0;      // accepted gauge-hours it was learned from
  double probability = 0;
};

// A point of the double-mass curve of a gauge (expect/double_mass.hpp): what it and its neighbours
// read up to a time, over the days on which it was measured, testable and not left out as faulty.
struct GaugeDoubleMass {
  std::size_t gauge = 0;
  Instant time;
  double own_mm = 0;
  double neighbours_mm = 0;  // their mean, each over its site ratio
};

struct CheckResult {
  std::vector<Finding> findings;  // by gauge, then from, then kind
  // One per finding with options.keep_evidence, else none. Beyond options.most_evidence they are
  // empty: those that last come first, then the confirmed, then the latest called.
  std::vector<FindingEvidence> evidence;
  QualityTable quality;  // one word per gauge and step of the input
  std::vector<GaugeSummary> gauges;
  std::vector<GaugeDoubleMass> double_mass;  // by gauge, then time; a point for every 25 mm
  std::vector<ConsistencyRow> consistency;   // by gauge, storms, then months; options.hold_totals
  LearnedNulls nulls;                        // what was learned, or what was given
  std::vector<LearnedMissRate> miss_rates;
  InterpolationMethod method = InterpolationMethod::inverse_distance;  // of the estimates
  double gauge_years = 0;  // of measured, testable hours
  int rounds = 0;          // of blame, until nothing changed or the limit
};

// Laws (each one is a test):
//   (1) the order of the gauges does not matter: the same gauges get the same findings;
//   (2) the number of threads does not matter;
//   (3) a step is missing in `quality` exactly where it is not measured;
//   (4) measured values are only judged, never changed.
// Quality: poor under a confirmed finding, suspect under a provisional one (and under any that
// keeps its depths, see rain/finding.hpp), unchecked where fewer than three neighbours are live, in
// hours that are cold or not over, or with more than a third of the hour missing; good elsewhere. A
// worse word that came with the input stays.
//
// Requires: record.depths has one row per gauge; at least 3 gauges, else all is not testable.
// Throws:   Error{invalid_option} if options.problem() has one;
//           Error{inconsistent_input} when rows and gauges differ in number.
// Cost:     one pass over the steps, then a few over the hours. Memory in bulk vectors beside the
//           record, counted from the arrays: 15 bytes per gauge and hour, 1 per gauge and step for
//           the qualities, and 17 more per gauge and hour while clocks are searched on steps under
//           10 minutes; what grows with the days or the wet hours is ordinary memory.
CheckResult check_network(const Network& network, const RainRecord& record,
                          const CheckOptions& options = {});

// The same checks with what was learned from another record of the same network: nothing is learned
// here, and options.*_calls_per_gauge_year play no part.
// Law: nulls learned from a record, frozen, give the findings of that record again, up to what the
// rounds of blame change on the way.
// Throws: as above; Error{inconsistent_input} when `nulls` are of another number of gauges, or lack
//         what a check needs.
CheckResult check_with_frozen_nulls(const Network& network, const RainRecord& record,
                                    const LearnedNulls& nulls, const CheckOptions& options = {});

}  // namespace gaugeloom
