#include "gaugeloom/checks/reads_low.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "checks/finding_text_internal.hpp"
#include "checks/ratio_shift_internal.hpp"
#include "checks/shortfall_internal.hpp"

namespace gaugeloom {
namespace {

bool is_about_half(const Finding& finding) {
  return std::abs(finding.observed_mm / finding.expected_mm - 0.5) <= 0.08;
}

Finding low_spell(const CheckContext& context, const Shortfall& spell) {
  Finding finding = shortfall_finding(context, FindingKind::reads_low, spell);
  finding.reason = fmt::format(
      "It read {} of {} expected over {}, light and heavy rain alike, as a tilted or leaking gauge "
      "does and a blocked one does not. Held against {}.",
      percent_text(finding.observed_mm / finding.expected_mm), mm_text(finding.expected_mm),
      span_text(context.hours.axis().end(spell.last_hour - 1) - finding.from),
      neighbours_text(context, spell.gauge, finding.neighbours));
  finding.innocent_explanation =
      "Something new may shelter it, or small storms missed it day after day.";
  return finding;
}

// Those found as partly blocked, with their level.
CheckOutcome low_spells(const CheckContext& context) {
  CheckOutcome out;
  const Shortfalls shortfalls = find_shortfalls(context);
  for (const Shortfall& spell : shortfalls.spells) {
    if (spell.shape != LossShape::share) continue;
    out.findings.push_back(low_spell(context, spell));
    if (context.keep_growth) out.growth.push_back(growth_of(context, spell, shortfalls.threshold));
  }
  return out;
}

}  // namespace

CheckOutcome find_reads_low(const CheckContext& context) {
  CheckOutcome out = find_ratio_shift(context, FindingKind::reads_low, low_spells(context));
  for (Finding& finding : out.findings)
    if (is_about_half(finding))
      finding.reason += " About half is also what a switch that misses every second tip reads.";
  return out;
}

}  // namespace gaugeloom
