#include "gaugeloom/checks/partly_blocked.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "checks/equal_runs_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/lone_rain_internal.hpp"
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

Finding made(const CheckContext& context, const EqualRun& run, double confirmed_score) {
  const StepAxis& axis = context.steps.axis();
  const auto hours = context.hours.axis().touching({axis.begin(run.first), axis.end(run.last - 1)});
  Finding finding = finding_of(context, run, FindingKind::partly_blocked, confirmed_score);
  finding.neighbours = speaking_neighbours(context, run.gauge, hours.first, hours.last);
  finding.reason = fmt::format(
      "It let through {:.3f} mm in each of {} steps on end, over {}, while its neighbours lead us "
      "to expect {} since the rain began: as an outlet does that passes no more. Held against {}.",
      context.steps.depth_mm(run.gauge, run.first), run.length(),
      span_text(axis.end(run.last - 1) - finding.from), mm_text(run.storm_mm),
      neighbours_text(context, run.gauge, finding.neighbours));
  finding.innocent_explanation = "Even drizzle, or a longer total spread evenly over its steps.";
  return finding;
}

Finding made(const CheckContext& context, const LoneRain& drip, double confirmed_score) {
  Finding finding = finding_of(context, drip, FindingKind::partly_blocked, confirmed_score);
  finding.reason = fmt::format(
      "It went on with {} over {}, never more from hour to hour, when nothing within {:.0f} km was "
      "wet: as a funnel runs out through a narrow outlet. Dry around it: {}.",
      mm_text(drip.depth_mm), span_text(*finding.to - finding.from), kLoneRainReachM / 1000,
      neighbours_text(context, drip.gauge, finding.neighbours));
  finding.innocent_explanation = "The end of a shower so small that no neighbour caught it.";
  return finding;
}

// What one storm shows: a run of equal depths or a drip. Within a spell it only tells that earlier;
// false where it stands alone.
bool joins_a_spell(const Finding& sign, std::span<Finding> spells) {
  bool known = false;
  for (Finding& spell : spells) {
    if (!overlap(spell, sign)) continue;
    known = true;
    spell.called = std::min(spell.called, sign.called);
    if (sign.tier == Tier::confirmed) spell.tier = Tier::confirmed;
  }
  return known;
}

// The first `spells` of the findings are spells; signs that stand alone come after them.
template <typename Sign>
void add_sign(const CheckContext& context, const Sign& sign, const LearnedThreshold& level,
              std::size_t spells, CheckOutcome& out) {
  Finding finding = made(context, sign, level.confirmed);
  if (joins_a_spell(finding, std::span(out.findings).first(spells))) return;
  out.findings.push_back(std::move(finding));
  if (context.keep_growth) out.growth.push_back(growth_of(context, sign, level));
}

void add_signs(const CheckContext& context, CheckOutcome& out) {
  const std::size_t spells = out.findings.size();
  const EqualRuns equal = find_equal_runs(context);
  for (const EqualRun& run : equal.runs)
    if (run.is_outlet()) add_sign(context, run, equal.threshold, spells, out);
  const LoneRains lone = find_lone_rain(context);
  for (const LoneRain& drip : lone.episodes)
    if (drip.is_drip) add_sign(context, drip, lone.threshold, spells, out);
}

}  // namespace

CheckOutcome find_partly_blocked(const CheckContext& context) {
  CheckOutcome out;
  Shortfalls shortfalls = find_shortfalls(context);
  for (const Shortfall& spell : shortfalls.spells) {
    if (spell.shape != LossShape::outlet) continue;
    out.findings.push_back(made(context, spell));
    if (context.keep_growth) out.growth.push_back(growth_of(context, spell, shortfalls.threshold));
  }
  add_signs(context, out);
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
