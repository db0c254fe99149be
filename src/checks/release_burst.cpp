#include "gaugeloom/checks/release_burst.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "checks/burst_hour_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/outage_total_internal.hpp"
#include "checks/score_growth_internal.hpp"

namespace gaugeloom {
namespace {

constexpr long kHoursBefore = 6;
constexpr long kHoursAfter = 48;
constexpr double kMostOfDeficit = 1.2;

Finding made(const CheckContext& context, const Finding& spell, std::size_t hour, double wettest) {
  const StepAxis& axis = context.hours.axis();
  const double deficit = spell.expected_mm - spell.observed_mm;
  Finding finding;
  finding.gauge = spell.gauge;
  finding.kind = FindingKind::release_burst;
  finding.tier = spell.tier;
  finding.from = axis.begin(hour);
  finding.to = axis.end(hour);
  finding.called = axis.end(std::min(hour + 1, axis.count() - 1));
  finding.observed_mm = context.hours.depth_mm(spell.gauge, hour);
  finding.expected_mm = context.expected.depth_at(spell.gauge, hour);
  finding.score = finding.observed_mm / (kTimesNeighbours * wettest + 1);
  finding.neighbours = speaking_neighbours(context, spell.gauge, hour, hour + 1);
  finding.reason = fmt::format(
      "{} in one hour at the end of a {} spell that was short of {}, while {}. "
      "Held against {}.",
      mm_text(finding.observed_mm),
      spell.kind == FindingKind::blocked ? "blocked" : "partly blocked", mm_text(deficit),
      no_more_text(wettest), neighbours_text(context, spell.gauge, finding.neighbours));
  finding.innocent_explanation = "A cloudburst of a few kilometres may have stood over the gauge.";
  return finding;
}

}  // namespace

CheckOutcome find_release_burst(const CheckContext& context) {
  CheckOutcome out{outage_totals(context), std::nullopt, {}};
  const StepAxis& axis = context.hours.axis();
  for (const Finding& spell : context.earlier) {
    const bool block =
        spell.kind == FindingKind::blocked || spell.kind == FindingKind::partly_blocked;
    if (!block || !spell.to) continue;
    const long end = (*spell.to - axis.begin(0)) / axis.step();
    const long last = std::min<long>(end + kHoursAfter, static_cast<long>(axis.count()));
    const double high = own_high_mm(context, spell.gauge);
    const double most = kMostOfDeficit * (spell.expected_mm - spell.observed_mm);
    for (long h = std::max(0L, end - kHoursBefore); h < last; ++h) {
      const auto hour = static_cast<std::size_t>(h);
      const double depth = context.hours.depth_mm(spell.gauge, hour);
      if (!(depth >= kLeastBurstMm) || depth < high || depth > most) continue;
      const double wettest = wettest_neighbour_mm(context, spell.gauge, hour);
      if (depth < kTimesNeighbours * wettest) continue;
      const bool known =
          std::any_of(out.findings.begin(), out.findings.end(), [&](const Finding& f) {
            return f.gauge == spell.gauge && axis.interval(hour).overlaps({f.from, *f.to});
          });
      if (!known) out.findings.push_back(made(context, spell, hour, wettest));
    }
  }
  if (context.keep_growth) out.growth = grown_when_called(out.findings);
  return out;
}

}  // namespace gaugeloom
