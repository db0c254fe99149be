#include "gaugeloom/checks/not_testable.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checks/finding_text_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastSpellHours = 7 * 24;

struct Spell {
  std::size_t first = 0;
  std::size_t last = 0;
  double measured = 0;  // hours within that the gauge measured
};

std::vector<Spell> spells_of(const CheckContext& context, std::size_t gauge) {
  std::vector<Spell> spells;
  Spell spell;
  for (std::size_t hour = 0; hour < context.hours.step_count(); ++hour) {
    if (!context.hours.is_measured(gauge, hour)) continue;
    if (!std::isnan(context.expected.depth_at(gauge, hour))) {
      if (spell.measured > 0) spells.push_back(spell);
      spell = Spell{};
      continue;
    }
    if (spell.measured == 0) spell.first = hour;
    spell.last = hour + 1;
    spell.measured += 1;
  }
  if (spell.measured > 0) spells.push_back(spell);
  return spells;
}

Finding made(const CheckContext& context, std::size_t gauge, const Spell& spell) {
  const StepAxis& axis = context.hours.axis();
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::not_testable;
  finding.from = axis.begin(spell.first);
  if (spell.last < axis.count()) finding.to = axis.begin(spell.last);
  finding.called = axis.end(spell.last - 1);
  for (std::size_t hour = spell.first; hour < spell.last; ++hour) {
    const float depth = context.hours.depth_mm(gauge, hour);
    if (!std::isnan(depth)) finding.observed_mm += depth;
  }
  finding.expected_mm = std::numeric_limits<double>::quiet_NaN();
  finding.neighbours = speaking_neighbours(context, gauge, spell.first, spell.last);
  finding.reason = fmt::format(
      "For {} fewer than {} neighbours within {:.0f} km reported, so nothing can be said about it.",
      span_text(axis.end(spell.last - 1) - finding.from), kLeastNeighbours,
      context.around.options.reach_m / 1000);
  finding.innocent_explanation = "The gauge may be quite healthy.";
  return finding;
}

}  // namespace

CheckOutcome find_not_testable(const CheckContext& context) {
  CheckOutcome out;
  const double step_hours = context.hours.axis().step_hours();
  const double record = step_hours * static_cast<double>(context.hours.step_count());
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    for (const Spell& spell : spells_of(context, gauge)) {
      const double length = step_hours * static_cast<double>(spell.last - spell.first);
      if (length >= std::min(kLeastSpellHours, record)) {
        out.findings.push_back(made(context, gauge, spell));
      }
    }
  }
  return out;
}

}  // namespace gaugeloom
