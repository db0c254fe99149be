#pragma once
// What a reviewer decided about a finding, to be replayed at every later run.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

enum class Verdict : std::uint8_t {
  accept,  // the finding is right
  reject,  // the finding is wrong: what was read stands
  shift,   // what was read is right, but stamped at the wrong time
};
std::string_view word(Verdict verdict);
std::optional<Verdict> parse_verdict(std::string_view text);

struct Decision {
  std::string finding_id;                        // as in findings.csv
  std::size_t gauge = 0;                         // row in the network
  FindingKind kind = FindingKind::not_testable;  // as `finding_id` says
  Instant from;
  std::optional<Instant> to;  // absent: until the finding ends
  Verdict verdict = Verdict::accept;
  // Of a shift: how much later than true the readings of [from, to) are stamped; else 0.
  double shift_minutes = 0;
  std::string reason;  // never empty, nor are the next two
  std::string by;      // who decided
  std::string on;      // when: a date or a time in ISO 8601, as it was written
  std::string
      evidence_hash;  // checks/evidence_hash.hpp; empty: it holds while the finding is found
  InputPos written;   // where it was read, for messages
};

// "accepted by NAME on 2024-03-05", "rejected by ...", "shifted by 60 minutes by ...".
std::string in_short(const Decision& decision);

// Whether both say the same, wherever they were read.
bool same_decision(const Decision& a, const Decision& b);

}  // namespace gaugeloom
