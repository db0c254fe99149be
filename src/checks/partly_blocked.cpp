#include "gaugeloom/checks/partly_blocked.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checks/finding_text_internal.hpp"
#include "checks/shortfall_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLowMaximum = 0.6;  // of the highest hour expected, to be worth a word

// What a technician sees in it.
struct Signs {
  double highest_mm = 0;           // read in an hour
  double highest_expected_mm = 0;  // the same
  std::size_t drip_hours = 0;      // with rain while all around were dry
};

Signs signs_of(const CheckContext& context, const Shortfall& spell) {
  Signs signs;
  for (std::size_t hour = spell.first_hour; hour < spell.last_hour; ++hour) {
    const double observed = context.hours.depth_mm(spell.gauge, hour);
    const double expected = context.expected.depth_at(spell.gauge, hour);
    if (std::isnan(observed) || std::isnan(expected)) continue;
    signs.highest_mm = std::max(signs.highest_mm, observed);
    signs.highest_expected_mm = std::max(signs.highest_expected_mm, expected);
    const bool dry = row_of_hour(context.expected, spell.gauge, hour) == kDryAroundRow;
    if (observed > 0 && dry) ++signs.drip_hours;
  }
  return signs;
}

std::string reason_of(const CheckContext& context, const Shortfall& spell, const Finding& finding) {
  const Signs signs = signs_of(context, spell);
  std::string text =
      fmt::format("It let through {} over {} while its neighbours lead us to expect {}",
                  mm_text(finding.observed_mm),
                  span_text(context.hours.axis().end(spell.last_hour - 1) - finding.from),
                  mm_text(finding.expected_mm));
  if (signs.highest_mm < kLowMaximum * signs.highest_expected_mm)
    text += fmt::format(", never more than {} in an hour where up to {} was expected",
                        mm_text(signs.highest_mm), mm_text(signs.highest_expected_mm));
  text += '.';
  if (signs.drip_hours > 1)
    text += fmt::format(" It went on dripping in {} hours with no rain around.", signs.drip_hours);
  return text + fmt::format(" {} spoke for it. Held against {}.",
                            spell.storms == 1 ? std::string("One storm")
                                              : fmt::format("{} storms", spell.storms),
                            neighbours_text(context, spell.gauge, finding.neighbours));
}

Finding made(const CheckContext& context, const Shortfall& spell) {
  Finding finding = shortfall_finding(context, FindingKind::partly_blocked, spell);
  finding.reason = reason_of(context, spell, finding);
  finding.innocent_explanation =
      "Small storms may have missed the gauge again and again, or something new shelters it.";
  return finding;
}

}  // namespace

CheckOutcome find_partly_blocked(const CheckContext& context) {
  CheckOutcome out;
  Shortfalls shortfalls = find_shortfalls(context);
  for (const Shortfall& spell : shortfalls.spells)
    if (spell.shape == LossShape::outlet) out.findings.push_back(made(context, spell));
  out.threshold = std::move(shortfalls.threshold);
  return out;
}

CheckOutcome find_shortfall_suspects(const CheckContext& context) {
  CheckOutcome out;
  Shortfalls shortfalls = find_shortfalls(context);
  for (const Shortfall& spell : shortfalls.spells)
    out.findings.push_back(shortfall_finding(context, FindingKind::partly_blocked, spell));
  out.threshold = std::move(shortfalls.threshold);
  return out;
}

}  // namespace gaugeloom
