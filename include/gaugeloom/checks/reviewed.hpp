#pragma once
// The checks with a reviewer's decisions replayed: what was decided about a finding holds as long
// as the finding is found on the same data; else it is set aside and the reviewer is asked again.

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/evidence_hash.hpp"
#include "gaugeloom/rain/decision.hpp"

namespace gaugeloom {

enum class DecisionOutcome : std::uint8_t {
  applied,
  stale,      // not applied: the data behind the finding are others now
  not_found,  // not applied: the checks no longer find it
};
std::string_view word(DecisionOutcome outcome);

struct ReplayedDecision {
  Decision decision;
  DecisionOutcome outcome = DecisionOutcome::not_found;
  std::string why;               // one to three plain sentences
  std::optional<Finding> found;  // as the checks found it, before any decision; not_found: absent
  std::string evidence_hash;     // of `found` now; not_found: empty
};

// What is known of a finding beside itself.
struct FindingReview {
  std::string finding_id;
  std::string evidence_hash;
  std::string decision;  // in_short() of what was applied to it; empty when undecided
  bool accepted = false;
};

struct ReviewedCheck {
  CheckResult result;                       // without the rejected findings
  std::vector<FindingReview> reviews;       // one per result.findings
  std::vector<ReplayedDecision> decisions;  // by gauge id, then finding_id
  bool moved = false;                       // whether any reading was moved: see below
};

// A record before steps of it were masked for what is known of their time (outages, visits), and
// what masks it.
struct Unmasked {
  RainRecord record;
  std::function<void(RainRecord&)> mask;
};

// Checks as check_network() does, or as check_with_frozen_nulls() with `frozen`, and replays:
//   accept  makes the finding confirmed, whatever the checks made of it: filling replaces it;
//   reject  takes it out: what was read is right. Its steps get the quality they have without it,
//           and all is checked again with the gauge speaking for its neighbours there, whatever was
//           suspected. Where another finding at the gauge was found beside it and is not rejected,
//           that one holds. What the finding had explained (another name or beginning of the same
//           episode) does not come up in its place. Decisions about what is found only then are
//           replayed too, and so on until nothing more is rejected; what was accepted before stands
//           as it was found, even where the checks now have no reason for it;
//   shift   puts the readings of [from, to) of the gauge right in time before checking: each goes,
//           bit for bit, to the step shift_minutes earlier. Then all is checked again, which is why
//           accepted and rejected findings are those found after it.
// Of a shift: record.depths, the qualities it came with, its other_counter and the totals that lie
// wholly within are moved; record.counted keeps (or gets) what was read at each step, as it was.
// Where a moved reading meets a step outside [from, to) that is measured, the latter stands; what
// is moved there or off the record is left out, and `why` says how much. Steps that nothing moves
// to are missing. So measured depths keep their values; only their time is put right.
// Outages and visits are logged by other clocks than the gauge's: with `unmasked`, which `record`
// was before its masks, the readings of that one are moved, and then masked, so that the masks meet
// what was read at those times in truth. What the gauges with a shift said at each step, masked or
// not, then stands in record.counted, and nothing of them in record.refused.
//
// Laws (each one is a test):
//   (1) no decisions: as the check alone; `reviews` are undecided;
//   (2) the order of the decisions and of the gauges does not matter;
//   (3) the same record and decisions, the same outcome, bit for bit;
//   (4) decisions made on the beginning of a record stay applied when it grows, as long as the
//       findings are found there;
//   (5) once a finding is rejected, the neighbours' estimates are those of a check in which the
//       gauge could not be suspected there.
// Requires: decisions[i].gauge < network.size(); no two of one finding.
// Throws:   as the checks; Error{inconsistent_input} with the place of the decision when a shift is
//           no whole number of steps, or two that are applied share time at a gauge.
// Cost:     the checks once, again when a shift is applied and again when a finding is rejected
//           (and for each that is found only after others are); the evidence of every finding.
ReviewedCheck check_reviewed(const Network& network, RainRecord& record,
                             std::span<const Decision> decisions, TextHash hash,
                             const CheckOptions& options = {}, const LearnedNulls* frozen = nullptr,
                             std::optional<Unmasked> unmasked = {});

}  // namespace gaugeloom
