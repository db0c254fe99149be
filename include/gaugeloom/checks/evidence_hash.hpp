#pragma once
// The data behind a finding as one short word, by which a reviewer's decision knows them again.

#include <optional>
#include <string>
#include <string_view>

#include "gaugeloom/expect/neighbourhood.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// SHA-256 of a text in hexadecimal digits (io/sha256.hpp), or another hash of 16 digits or more.
using TextHash = std::string (*)(std::string_view text);

// "20210304T1000Z-0123456789abcdef": when the finding was called (its minute begun is counted
// whole), and the first 16 digits of the hash of evidence_text() up to then. Laws:
//   (1) it is that of the finding as long as kind, gauge, beginning and the depths it was called by
//       stay the same, bit for bit to the thousandth of a mm: a record that grows, a finding that
//       lasts on, another order of gauges, other findings or decisions do not matter;
//   (2) it is another one when any of these changes.
// A call that comes earlier or later, because more was learned, makes another word but keeps the
// older one valid: holds() looks at the data up to the time within the word.
class EvidenceHash {
 public:
  // `as_read` holds the depths before any decision moved them; both must outlive this.
  EvidenceHash(const Network& network, const RainTable& as_read, TextHash hash);

  std::string of(const Finding& finding) const;
  // Whether `evidence_hash`, from an earlier run, is of the data as they are now.
  bool holds(const Finding& finding, std::string_view evidence_hash) const;
  // What is hashed, one line each: the kind; the beginning, the end (UTC) and the seconds of a
  // step; the gauge; then its neighbours by id: the nearest gauges, at most as many as an estimate
  // uses, that were measured in at least half of the steps (none for what is called without
  // neighbours: an impossible rate, a stuck value). After every gauge's id come its depths
  // in thousandths of a mm, each after a comma, nothing where missing: the steps that lie within
  // [finding.from, until).
  std::string text(const Finding& finding, Instant until) const;

 private:
  std::string hash_until(const Finding& finding, Instant until) const;

  const Network& network_;
  const RainTable& as_read_;
  TextHash hash_;
  Neighbourhoods around_;
};

// The time within such a word; nothing when it is none.
std::optional<Instant> called_in_evidence(std::string_view evidence_hash);

}  // namespace gaugeloom
