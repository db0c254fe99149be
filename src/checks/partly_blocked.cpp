#include "gaugeloom/checks/partly_blocked.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "checks/drip_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/shortfall_internal.hpp"

namespace gaugeloom {
namespace {

Finding made(const CheckContext& context, const Shortfall& spell) {
  Finding finding = shortfall_finding(context, FindingKind::partly_blocked, spell);
  finding.reason = fmt::format(
      "It let through {} over {} while its neighbours lead us to expect {}, and {} fell far short "
      "of what healthy gauges show here. Held against {}.",
      mm_text(finding.observed_mm),
      span_text(context.hours.axis().end(spell.last_hour - 1) - finding.from),
      mm_text(finding.expected_mm),
      spell.bad_days == 1 ? std::string("one day") : fmt::format("{} days", spell.bad_days),
      neighbours_text(context, spell.gauge, finding.neighbours));
  finding.innocent_explanation =
      "Small storms may have missed the gauge day after day, or something new shelters it.";
  return finding;
}

bool overlap(const Finding& a, const Finding& b) {
  return a.gauge == b.gauge && (!a.to || b.from < *a.to) && (!b.to || a.from < *b.to);
}

}  // namespace

CheckOutcome find_partly_blocked(const CheckContext& context) {
  CheckOutcome out;
  Shortfalls shortfalls = find_shortfalls(context);
  for (const Shortfall& spell : shortfalls.spells)
    if (spell.shape == LossShape::outlet) out.findings.push_back(made(context, spell));
  const std::size_t found = out.findings.size();
  CheckOutcome drips = find_drips(context);
  out.threshold = std::move(shortfalls.threshold);
  out.threshold->scales = {drips.threshold->provisional};
  for (Finding& drip : drips.findings) {
    const auto last = out.findings.begin() + static_cast<std::ptrdiff_t>(found);
    if (std::none_of(out.findings.begin(), last,
                     [&](const Finding& f) { return overlap(f, drip); })) {
      out.findings.push_back(std::move(drip));
    }
  }
  return out;
}

}  // namespace gaugeloom
