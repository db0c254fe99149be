#include "gaugeloom/rehearse/fault_outcome.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr double kTellingHiddenMm = 10;
constexpr double kTellingRainMm = 40;
constexpr double kStormMm = 2;
constexpr std::chrono::hours kGrace{48};

Interval span_of(const RainTable& table, const InjectedFault& fault) {
  return {table.axis().begin(fault.over.first), table.axis().end(fault.over.last - 1)};
}

double rain_mm(const RainTable& table, std::size_t gauge, Interval over) {
  double sum = 0;
  const auto range = table.axis().within(over);
  for (std::size_t i = range.first; i < range.last; ++i) {
    if (table.is_measured(gauge, i)) sum += static_cast<double>(table.depth_mm(gauge, i));
  }
  return sum;
}

bool belongs(const Finding& finding, const InjectedFault& fault, Interval over) {
  if (finding.kind == FindingKind::not_testable) return false;
  if (finding.gauge != fault.gauge && finding.gauge != fault.other) return false;
  if (finding.from >= over.to + kGrace || (finding.to && *finding.to <= over.from)) return false;
  return finding.called > over.from && finding.called <= over.to + kGrace;
}

bool names_right(const FaultVariant& variant, FindingKind kind) {
  return variant.names.empty() ||
         std::find(variant.names.begin(), variant.names.end(), kind) != variant.names.end();
}

std::size_t storms_before(const RainTable& truth, std::size_t gauge, Interval over,
                          std::span<const StormSpell> storms) {
  std::size_t count = 0;
  for (const StormSpell& storm : storms) {
    if (!storm.over.overlaps(over)) continue;
    const Interval both{std::max(storm.over.from, over.from), std::min(storm.over.to, over.to)};
    if (rain_mm(truth, gauge, both) >= kStormMm) ++count;
  }
  return count;
}

// Of the first call: what had been lost by then, and how near its beginning was.
void score_call(FaultOutcome& out, const RainTable& truth, const RainTable& injected,
                const Finding& first, std::span<const StormSpell> storms) {
  const Interval over = span_of(truth, out.fault);
  const Interval until{over.from, std::min(first.called, over.to)};
  const std::size_t gauge = out.fault.gauge;
  out.kind = first.kind;
  out.hidden_at_call_mm = hidden_mm(truth, injected, gauge, until);
  out.rain_at_call_mm = rain_mm(truth, gauge, until);
  out.onset_error_mm =
      rain_mm(truth, gauge, {std::min(first.from, over.from), std::max(first.from, over.from)});
  out.storms_to_call = storms_before(truth, gauge, {over.from, first.called}, storms);
}

}  // namespace

bool FaultOutcome::is_telling() const {
  const FaultVariant& variant = fault_variants()[fault.variant];
  if (variant.hides_rain()) return hidden_mm >= kTellingHiddenMm;
  if (variant.kind == InjectedKind::held_back_total || variant.kind == InjectedKind::outage_total)
    return rain_mm >= kTellingHiddenMm;
  if (variant.kind == InjectedKind::phantom_tips || variant.is_decoy()) return true;
  return rain_mm >= kTellingRainMm;
}

bool same_episode(const Finding& a, const Finding& b) { return a.kind == b.kind && overlap(a, b); }

double hidden_mm(const RainTable& truth, const RainTable& injected, std::size_t gauge,
                 Interval over) {
  double sum = 0;
  double most = 0;
  const auto range = truth.axis().within(over);
  for (std::size_t i = range.first; i < range.last; ++i) {
    if (!truth.is_measured(gauge, i) || !injected.is_measured(gauge, i)) continue;
    sum += static_cast<double>(truth.depth_mm(gauge, i)) -
           static_cast<double>(injected.depth_mm(gauge, i));
    most = std::max(most, sum);
  }
  return most;
}

FaultOutcome fault_outcome(const RainTable& truth, const RainTable& injected,
                           const InjectedFault& fault, std::span<const Finding> before,
                           std::span<const Finding> after, std::span<const StormSpell> storms) {
  const FaultVariant& variant = fault_variants()[fault.variant];
  const Interval over = span_of(truth, fault);
  FaultOutcome out;
  out.fault = fault;
  out.rain_mm = rain_mm(truth, fault.gauge, over);
  out.hidden_mm = hidden_mm(truth, injected, fault.gauge, over);
  const Finding* first = nullptr;
  for (const Finding& finding : after) {
    if (!belongs(finding, fault, over)) continue;
    const bool known = std::any_of(before.begin(), before.end(), [&](const Finding& earlier) {
      return same_episode(earlier, finding);
    });
    if (known) continue;
    if (finding.tier == Tier::confirmed) out.confirmed = true;
    if (names_right(variant, finding.kind)) out.named_right = true;
    if (variant.kind == InjectedKind::clock_shift && !std::isnan(finding.shift_minutes)) {
      out.shift_error_minutes = finding.shift_minutes - variant.size;
    }
    if (first == nullptr || finding.called < first->called) first = &finding;
  }
  out.found = first != nullptr;
  if (first != nullptr) score_call(out, truth, injected, *first, storms);
  return out;
}

}  // namespace gaugeloom
