#include "gaugeloom/rain/decision.hpp"

#include <fmt/format.h>

#include <array>
#include <tuple>

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 3> kVerdictWords = {"accept", "reject", "shift"};

auto all_of(const Decision& d) {
  return std::tie(d.finding_id, d.gauge, d.from, d.to, d.verdict, d.shift_minutes, d.reason, d.by,
                  d.on, d.evidence_hash);
}

}  // namespace

std::string_view word(Verdict verdict) { return kVerdictWords[static_cast<std::size_t>(verdict)]; }

std::optional<Verdict> parse_verdict(std::string_view text) {
  for (std::size_t i = 0; i < kVerdictWords.size(); ++i)
    if (kVerdictWords[i] == text) return static_cast<Verdict>(i);
  return std::nullopt;
}

std::string in_short(const Decision& decision) {
  std::string what = decision.verdict == Verdict::accept ? "accepted" : "rejected";
  if (decision.verdict == Verdict::shift)
    what = fmt::format("shifted by {:g} minutes", decision.shift_minutes);
  return fmt::format("{} by {} on {}", what, decision.by, decision.on);
}

bool same_decision(const Decision& a, const Decision& b) { return all_of(a) == all_of(b); }

}  // namespace gaugeloom
