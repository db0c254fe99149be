#pragma once
// What the checks would find on the user's own network: faults of known size are planted in the
// accepted part of the record, the very same code is run, and it is scored.
//
// The record is cut into parts of about a quarter of a year, and once more into parts of about half
// a year for faults that take months to show (record_parts.hpp). Each part is scored with nulls and
// thresholds learned from the others alone, frozen. Three kinds of run are made of each part:
//   as it was read       every call counts as a false one (on a real record some are real faults)
//   its accepted steps   what was under a finding is missing: the truth
//   with faults          all of one kind and size, planted in the accepted steps of their gauges;
//                        the other gauges stay as they were read, so that what is called there can
//                        be held against the calls without the faults. Several gauges are planted
//                        at once, but never two that are held against each other or that speak for
//                        a common neighbour (far_groups in injection.hpp).

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rehearse/fault_outcome.hpp"
#include "gaugeloom/rehearse/fill_score.hpp"

namespace gaugeloom {

struct RehearsalOptions {
  std::uint64_t seed = 1;
  int parts = 0;             // of the record; 0 = one for each quarter of a year, 2 to 12; half as
                             // many, at least 2, for faults that last to the end of a part
  int faults_per_kind = 24;  // at least 1; full blocks are planted at every gauge and part instead
  CheckOptions check;        // as they will be used; its threads and progress are not
  int threads = 0;           // 0 = all cores; never changes a result
  // Called now and then with the share done (0 to 1) and what comes next.
  std::function<void(double done, std::string_view next)> progress;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct RehearsedPart {
  Interval over;
  std::size_t storms = 0;          // in it: scored
  std::size_t storms_learned = 0;  // in the record that was learned from
};

// Calls on the record as it was read, and the time during which they could have been made.
struct FalseCalls {
  std::size_t any = 0;  // provisional or confirmed, not_testable aside
  std::size_t confirmed = 0;
  double gauge_years = 0;
};

// Calls on gauges that have a faulty one among their neighbours.
struct NeighbourCalls {
  std::size_t more = 0;    // that are not there without the fault
  std::size_t fewer = 0;   // that are gone with it
  double gauge_years = 0;  // of those gauges
};

// Steps of 5 mm/h or more on the record as it was read.
struct HeavySteps {
  std::size_t all = 0;
  std::size_t suspect = 0;  // under a provisional finding
  std::size_t refused = 0;  // under a confirmed one
};

struct Rehearsal {
  std::vector<RehearsedPart> parts;   // the shorter ones
  std::vector<FalseCalls> untouched;  // one per gauge
  HeavySteps heavy;
  std::vector<FaultOutcome> outcomes;      // by variant, then part, then as drawn; `fault.over` in
                                           // steps of its part
  std::vector<NeighbourCalls> neighbours;  // one per variant
  double dry_sum_threshold_mm = 0;         // of the plain rules, for as many calls as the checks
  double residual_threshold = 0;           // made on the record as it was read
  double cusum_threshold = 0;
  FillScore fill;  // hidden gaps of the accepted record
};

// Laws (each one is a test):
//   (1) the same seed gives the same outcomes, whatever the number of threads;
//   (2) what a part is scored with does not depend on the depths of that part.
// Requires: record.depths has one row per gauge.
// Throws:   Error{invalid_option} if options.problem() has one; Error{inconsistent_input} when the
//           record is shorter than 4 days; as check_network and fill_gaps.
// Cost:     about 0.5 * parts + gauges / 3 + 22 * faults_per_kind / 3 / parts checks of the record.
Rehearsal rehearse(const Network& network, const RainRecord& record,
                   const RehearsalOptions& options = {});

}  // namespace gaugeloom
