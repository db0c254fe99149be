#include "gaugeloom/rain/finding.hpp"

#include <array>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 14> kKindWords = {
    "blocked",      "partly_blocked", "release_burst",    "phantom_rain",
    "reads_low",    "reads_high",     "calibration_step", "calibration_drift",
    "clock_offset", "double_count",   "counter_dead",     "impossible_rate",
    "stuck",        "not_testable"};

}  // namespace

std::string_view word(FindingKind kind) { return kKindWords[static_cast<std::size_t>(kind)]; }

std::string_view word(Tier tier) { return tier == Tier::confirmed ? "confirmed" : "provisional"; }

std::optional<FindingKind> parse_finding_kind(std::string_view text) {
  for (std::size_t i = 0; i < kKindWords.size(); ++i)
    if (kKindWords[i] == text) return static_cast<FindingKind>(i);
  return std::nullopt;
}

bool keeps_its_depths(FindingKind kind) {
  return kind == FindingKind::calibration_step || kind == FindingKind::calibration_drift;
}

bool overlap(const Finding& a, const Finding& b) {
  return a.gauge == b.gauge && (!a.to || b.from < *a.to) && (!b.to || a.from < *b.to);
}

std::string finding_id(std::string_view gauge_id, const Finding& finding) {
  return std::string(gauge_id) + "-" + std::string(word(finding.kind)) + "-" +
         format_compact(finding.from);
}

}  // namespace gaugeloom
