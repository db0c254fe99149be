#include "gaugeloom/checks/evidence_hash.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/time/compact_time.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kDigits = 16;
constexpr std::size_t kTimeLength = 14;  // of format_compact

// Called without a look at the neighbours.
bool stands_alone(FindingKind kind) {
  return kind == FindingKind::impossible_rate || kind == FindingKind::stuck;
}

// The nearest gauges that were measured in at least half of the steps, by id.
std::vector<std::size_t> neighbours_over(const Network& network, const RainTable& depths,
                                         const std::vector<NearbyGauge>& candidates,
                                         std::size_t used, const StepAxis::Range& steps) {
  std::vector<std::size_t> live;
  for (const NearbyGauge& candidate : candidates) {
    if (live.size() == used) break;
    std::size_t measured = 0;
    for (std::size_t i = steps.first; i < steps.last; ++i)
      if (depths.is_measured(candidate.gauge, i)) ++measured;
    if (measured > 0 && 2 * measured >= steps.last - steps.first) live.push_back(candidate.gauge);
  }
  std::sort(live.begin(), live.end(), [&](std::size_t a, std::size_t b) {
    return network.gauges[a].id < network.gauges[b].id;
  });
  return live;
}

}  // namespace

EvidenceHash::EvidenceHash(const Network& network, const RainTable& as_read, TextHash hash)
    : network_(network), as_read_(as_read), hash_(hash), around_(neighbourhoods(network)) {}

std::string EvidenceHash::text(const Finding& finding, Instant until) const {
  const StepAxis& axis = as_read_.axis();
  std::string out = fmt::format("{}\n{},{},{}\n", word(finding.kind), format_utc(finding.from),
                                format_utc(until), axis.step().count());
  if (until <= finding.from) return out;
  const StepAxis::Range steps = axis.within({finding.from, until});
  std::vector<std::size_t> gauges = {finding.gauge};
  if (!stands_alone(finding.kind))
    std::ranges::copy(
        neighbours_over(network_, as_read_, around_.of[finding.gauge], around_.options.used, steps),
        std::back_inserter(gauges));
  for (const std::size_t gauge : gauges) {
    out += network_.gauges[gauge].id;
    for (std::size_t i = steps.first; i < steps.last; ++i) {
      out += ',';
      if (as_read_.is_measured(gauge, i))
        fmt::format_to(std::back_inserter(out), "{}",
                       std::llround(1000.0 * static_cast<double>(as_read_.depth_mm(gauge, i))));
    }
    out += '\n';
  }
  return out;
}

std::string EvidenceHash::hash_until(const Finding& finding, Instant until) const {
  const std::string digits = hash_(text(finding, until));
  GAUGELOOM_ASSERT(digits.size() >= kDigits);
  return format_compact(until) + "-" + digits.substr(0, kDigits);
}

std::string EvidenceHash::of(const Finding& finding) const {
  return hash_until(finding, std::chrono::ceil<std::chrono::minutes>(finding.called));
}

bool EvidenceHash::holds(const Finding& finding, std::string_view evidence_hash) const {
  const auto until = called_in_evidence(evidence_hash);
  return until && hash_until(finding, *until) == evidence_hash;
}

std::optional<Instant> called_in_evidence(std::string_view evidence_hash) {
  if (evidence_hash.size() != kTimeLength + 1 + kDigits || evidence_hash[kTimeLength] != '-')
    return std::nullopt;
  const auto is_digit = [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); };
  if (!std::ranges::all_of(evidence_hash.substr(kTimeLength + 1), is_digit)) return std::nullopt;
  return parse_compact(evidence_hash.substr(0, kTimeLength));
}

}  // namespace gaugeloom
