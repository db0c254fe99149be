#include "gaugeloom/io/decisions_replayed_writer.hpp"

#include <fmt/format.h>

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::string time_or_nothing(const std::optional<Instant>& time) {
  return time ? format_utc(*time) : std::string();
}

void add_decision(CsvRows& rows, const Decision& one, const Network& network) {
  const bool is_shift = one.verdict == Verdict::shift;
  rows.text(one.finding_id)
      .text(network.gauges[one.gauge].id)
      .raw(format_utc(one.from))
      .raw(time_or_nothing(one.to))
      .raw(word(one.verdict))
      .raw(is_shift ? fmt::format("{}", one.shift_minutes) : std::string())
      .text(one.reason)
      .text(one.by)
      .raw(one.on)
      .raw(one.evidence_hash);
}

void add_found(CsvRows& rows, const Finding& found) {
  rows.raw(word(found.tier))
      .fixed(found.score, 2)
      .raw(format_utc(found.from))
      .raw(time_or_nothing(found.to))
      .fixed(found.observed_mm, 3)
      .fixed(found.expected_mm, 3)
      .text(found.reason);
}

}  // namespace

void write_decisions_replayed(AtomicFile& file, std::span<const ReplayedDecision> decisions,
                              const Network& network) {
  CsvWriter csv(file,
                {"finding_id",       "gauge",    "from",        "to",          "verdict",
                 "shift_minutes",    "reason",   "by",          "on",          "evidence_hash",
                 "outcome",          "why",      "finding",     "tier",        "score",
                 "found_from",       "found_to", "observed_mm", "expected_mm", "found_reason",
                 "evidence_hash_now"});
  for (const ReplayedDecision& one : decisions) {
    CsvRows& rows = csv.row();
    add_decision(rows, one.decision, network);
    rows.raw(word(one.outcome)).text(one.why).raw(word(one.decision.kind));
    if (one.found)
      add_found(rows, *one.found);
    else
      for (int column = 0; column < 7; ++column) rows.raw("");
    rows.raw(one.evidence_hash).end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
