#pragma once
// What is new since an earlier run: its findings and decisions against those of now.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/rain/decision.hpp"
#include "gaugeloom/rain/finding.hpp"

namespace gaugeloom {

// A finding as a run told it.
struct ToldFinding {
  std::string finding_id;
  std::string gauge;  // its id
  FindingKind kind = FindingKind::not_testable;
  Tier tier = Tier::provisional;
  Instant from;
  std::optional<Instant> to;  // absent while it lasts
  std::string decision;       // in_short() of what was applied to it; empty when undecided
};

// A finding that is not told because a decision took it away: rejected, or shifted.
struct SettledFinding {
  ToldFinding finding;  // as it was found; its decision is never empty
  std::string reason;   // of the decision
};

// What a run said of the network.
struct Told {
  std::vector<ToldFinding> findings;
  std::vector<SettledFinding> settled;
};
// Requires: a review per finding (checks/reviewed.hpp).
Told told(std::span<const Finding> findings, std::span<const FindingReview> reviews,
          std::span<const ReplayedDecision> decisions, const Network& network);

enum class Change : std::uint8_t {
  new_finding,  // was not there
  begins_anew,  // was there with another beginning, and so with another finding_id
  ended,        // lasted, and has an end now
  lasts_again,  // had an end, and lasts now
  surer,        // provisional, confirmed now
  weaker,       // confirmed, provisional now
  decided,      // decided since, or otherwise than before
  asked_again,  // was decided, and is open again
  gone,         // was there, and is neither found nor settled now
};
std::string_view word(Change change);  // new_finding is "new"

struct FindingChange {
  std::string finding_id;  // as it is now; of what is gone, as it was
  std::string gauge;       // its id
  FindingKind kind = FindingKind::not_testable;
  Change change = Change::new_finding;
  std::string sentence;  // one, plain
};

// One row per change, so none for a finding that is as it was and up to several for one; by gauge
// id, beginning, kind, change. A finding is known again by its finding_id, else by gauge and kind
// when the two share time (`begins_anew`).
// Laws: nothing has changed between a run and itself; the order of the lists does not matter.
std::vector<FindingChange> finding_changes(const Told& last, const Told& now);

}  // namespace gaugeloom
