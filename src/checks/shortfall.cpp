#include "checks/shortfall_internal.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/outlet_score_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/funnel_store.hpp"

namespace gaugeloom {
namespace {

constexpr double kBadShare = 0.5;  // of what was expected
constexpr double kRecoveredShare = 0.6;
constexpr double kTellingMm = 3;  // expected on a day that can show recovery
constexpr double kBaseNats = 4;   // only peaks above it are looked at
constexpr std::size_t kLookBackHours = 240;
constexpr double kShapeNats = 2;          // by which a share must fit better than an outlet
constexpr double kLeastShare = 0.25;      // less is taken for a block; our choice
constexpr double kTellingHourMm = 0.2;    // expected or read in an hour that tells a shape
constexpr std::size_t kLeastTelling = 8;  // hours
constexpr std::size_t kWitnesses = 4;     // neighbours asked whether it was dry there too
constexpr double kWitnessShare = 0.3;     // of the nats; 0.5 measured no better
constexpr double kLateShare = 0.8;        // the same for a clock that is late; 1 measured no better

bool is_live(const CheckContext& context, std::size_t gauge, std::size_t first, std::size_t last) {
  std::size_t live = 0;
  for (std::size_t hour = first; hour < last; ++hour)
    if (context.hours.is_measured(gauge, hour)) ++live;
  return 2 * live >= last - first;
}

// Two gauges that had little in the same way: then it is a dry spot, not a fault. Asked of the four
// nearest that were live, whether excluded or not.
bool has_witness(const CheckContext& context, std::size_t gauge, const OutletSpell& spell,
                 std::size_t last) {
  std::size_t asked = 0;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (asked == kWitnesses) break;
    if (!is_live(context, n.gauge, spell.first, last)) continue;
    ++asked;
    if (outlet_nats(context, n.gauge, spell.guess, spell.first, last) >=
        kWitnessShare * outlet_nats(context, gauge, spell.guess, spell.first, last))
      return true;
  }
  return false;
}

// Right rain at the wrong time looks like the lag of an outlet.
bool is_only_late(const CheckContext& context, std::size_t gauge, const OutletSpell& spell,
                  std::size_t last) {
  const double nats = outlet_nats(context, gauge, spell.guess, spell.first, last);
  for (const int late : {-2, -1, 1, 2})
    if (late_nats(context, gauge, late, spell.first, last) >= kLateShare * nats) return true;
  return false;
}

bool has_innocence(const CheckContext& context, std::size_t gauge, const OutletSpell& spell) {
  const std::size_t last = spell.called.value_or(spell.last - 1) + 1;
  return has_witness(context, gauge, spell, std::max(last, spell.first + 1)) ||
         is_only_late(context, gauge, spell, spell.last);
}

std::vector<std::vector<OutletSpell>> all_spells(const CheckContext& with_growth) {
  CheckContext context = with_growth;
  context.keep_growth = false;  // of so many
  std::vector<std::vector<OutletSpell>> spells(context.network.size());
  parallel_for(spells.size(), context.options.threads, [&](std::size_t gauge) {
    for (const OutletSpell& spell : outlet_spells(context, gauge, {}))
      if (spell.peak > kBaseNats && !has_innocence(context, gauge, spell))
        spells[gauge].push_back(spell);
  });
  return spells;
}

LearnedThreshold learn(const CheckContext& context,
                       const std::vector<std::vector<OutletSpell>>& spells) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::partly_blocked)) return *frozen;
  std::vector<double> peaks;
  for (const auto& of_gauge : spells)
    for (const OutletSpell& spell : of_gauge) peaks.push_back(spell.peak);
  // A sum of log-likelihood ratios has the tail exp(-S).
  const PeakTail tail{
      .base = kBaseNats, .prior_scale = 1.2, .prior_peaks = 20, .least = 6, .most = 16};
  return dialled_threshold(context, FindingKind::partly_blocked, std::move(peaks),
                           context.gauge_years, tail, 1.5);
}

bool is_good_hour(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const double observed = context.hours.depth_mm(gauge, hour);
  const double expected = context.expected.depth_at(gauge, hour);
  return observed > 0 && expected >= kMissDepthEdgesMm[1] && observed >= kBadShare * expected;
}

// The hour after the last good one before the first bad day; at most ten days back.
std::size_t onset_hour(const CheckContext& context, std::size_t gauge, std::size_t first_hour) {
  const std::size_t back = std::min(first_hour, kLookBackHours);
  for (std::size_t hour = first_hour; hour > first_hour - back; --hour) {
    if (is_good_hour(context, gauge, hour - 1)) return hour;
  }
  return first_hour;
}

// So much was expected, and that share of it read, by a gauge that is well again; our choice. A
// lost share shows in every storm alike, so it takes more of them.
struct Recovered {
  double expected_mm;
  double share;
};
constexpr Recovered kAfterAnOutlet{kTellingMm, kRecoveredShare};
constexpr Recovered kAfterAShare{10, 0.8};

// The first good hour of the first such depth after hour `from` and before `to`.
std::optional<std::size_t> recovery(const CheckContext& context, std::size_t gauge,
                                    std::size_t from, std::size_t to, const Recovered& enough) {
  DepthPair sum;
  std::size_t first = from;
  for (std::size_t hour = from; hour < to; ++hour) {
    const DepthPair now = depths_over(context, gauge, hour, hour + 1);
    sum.observed_mm += now.observed_mm;
    sum.expected_mm += now.expected_mm;
    for (; first < hour; ++first) {
      const DepthPair old = depths_over(context, gauge, first, first + 1);
      if (sum.expected_mm - old.expected_mm < enough.expected_mm) break;
      sum.observed_mm -= old.observed_mm;
      sum.expected_mm -= old.expected_mm;
    }
    if (sum.expected_mm < enough.expected_mm || sum.observed_mm < enough.share * sum.expected_mm)
      continue;
    while (first < hour && !is_good_hour(context, gauge, first)) ++first;
    return first;
  }
  return std::nullopt;
}

// Spells that no recovery parts are one.
std::vector<OutletSpell> joined(const CheckContext& context, std::size_t gauge,
                                const std::vector<OutletSpell>& spells) {
  std::vector<OutletSpell> out;
  for (const OutletSpell& spell : spells) {
    if (spell.peak <= kBaseNats) continue;
    if (out.empty() || recovery(context, gauge, out.back().last, spell.first, kAfterAnOutlet)) {
      out.push_back(spell);
      continue;
    }
    OutletSpell& before = out.back();
    if (spell.peak > before.peak) {
      before.peak = spell.peak;
      before.guess = spell.guess;
    }
    before.last = spell.last;
    before.open = spell.open;
    before.storms += spell.storms;
    before.wet_hours += spell.wet_hours;
    if (!before.called) before.called = spell.called;
    if (!before.confirmed) before.confirmed = spell.confirmed;
    before.path = higher_of(before.path, spell.path);
  }
  return out;
}

// Squared misfits of square roots of hourly depths, and how many hours they are of.
struct Misfit {
  double of_share = std::numeric_limits<double>::infinity();
  double share = 0;  // the best one
  double of_outlet = std::numeric_limits<double>::infinity();
  std::size_t hours = 0;
};

struct HourPair {
  double observed_mm;
  double expected_mm;
};

std::vector<HourPair> hour_pairs(const CheckContext& context, std::size_t gauge, std::size_t first,
                                 std::size_t last) {
  std::vector<HourPair> pairs;
  for (std::size_t hour = first; hour < last; ++hour) {
    const double observed = context.hours.depth_mm(gauge, hour);
    const double expected = context.expected.depth_at(gauge, hour);
    if (std::isnan(observed) || std::isnan(expected)) continue;
    pairs.push_back({observed, expected});
  }
  return pairs;
}

double misfit_of_share(std::span<const HourPair> pairs, double share) {
  double sum = 0;
  for (const HourPair& p : pairs) {
    const double off = std::sqrt(p.observed_mm) - std::sqrt(share * p.expected_mm);
    sum += off * off;
  }
  return sum;
}

double misfit_of_outlet(std::span<const HourPair> pairs, const FunnelOutlet& outlet,
                        double step_hours) {
  FunnelStore store(outlet);
  double sum = 0;
  for (const HourPair& p : pairs) {
    const double off = std::sqrt(p.observed_mm) - std::sqrt(store.pass(p.expected_mm, step_hours));
    sum += off * off;
  }
  return sum;
}

Misfit best_misfit(std::span<const HourPair> pairs, double step_hours) {
  Misfit best;
  for (const HourPair& p : pairs)
    if (std::max(p.observed_mm, p.expected_mm) >= kTellingHourMm) ++best.hours;
  for (int percent = 5; percent <= 65; percent += 5) {
    const double misfit = misfit_of_share(pairs, percent / 100.0);
    if (misfit >= best.of_share) continue;
    best.of_share = misfit;
    best.share = percent / 100.0;
  }
  for (const double cap_mm_h : {0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0})
    for (const double drain_h : {0.1, 0.5, 2.0})
      best.of_outlet =
          std::min(best.of_outlet,
                   misfit_of_outlet(pairs, {.cap_mm_h = cap_mm_h, .drain_h = drain_h}, step_hours));
  return best;
}

// Whether the gauge ever read what was expected on a telling day that was over by hour `first`.
bool was_good(const CheckContext& context, std::size_t gauge, std::size_t first) {
  const auto& begins = context.days.first_window;
  const auto after = std::upper_bound(begins.begin(), begins.end(), first) - begins.begin();
  const auto days = context.days.row(gauge).first(static_cast<std::size_t>(after) - 1);
  return std::any_of(days.begin(), days.end(), [](const BlockSum& day) {
    return day.usable_share >= kLeastBlockShare && day.expected_mm >= kTellingMm &&
           day.observed_mm >= kRecoveredShare * day.expected_mm;
  });
}

// The hour at which the spell was over; none while it lasts.
std::optional<std::size_t> end_hour(const CheckContext& context, std::size_t gauge,
                                    const OutletSpell& spell, const Recovered& enough) {
  if (spell.open) return std::nullopt;
  return recovery(context, gauge, spell.last, context.hours.step_count(), enough);
}

Shortfall made(const CheckContext& context, std::size_t gauge, const OutletSpell& spell) {
  const std::size_t hours = context.hours.step_count();
  const std::size_t first = onset_hour(context, gauge, spell.first);
  auto last = end_hour(context, gauge, spell, kAfterAnOutlet);
  LossShape shape = LossShape::outlet;
  if (was_good(context, gauge, first))
    shape = loss_shape(context, gauge, first, last.value_or(hours));
  if (shape == LossShape::share) last = end_hour(context, gauge, spell, kAfterAShare);
  return {.gauge = gauge,
          .first_hour = first,
          .last_hour = last.value_or(hours),
          .open = !last,
          .score = spell.peak,
          .storms = spell.storms,
          .called_hour = *spell.called,
          .confirmed = spell.confirmed.has_value(),
          .shape = shape,
          .path = spell.path};
}

}  // namespace

LossShape loss_shape(const CheckContext& context, std::size_t gauge, std::size_t first,
                     std::size_t last) {
  const auto pairs = hour_pairs(context, gauge, first, last);
  const Misfit misfit = best_misfit(pairs, context.hours.axis().step_hours());
  if (misfit.hours < kLeastTelling || misfit.share < kLeastShare) return LossShape::outlet;
  // Both fit two or fewer numbers to normal errors of unknown spread.
  const double nats = static_cast<double>(misfit.hours) / 2 *
                      portable_log(misfit.of_outlet / std::max(misfit.of_share, 1e-9));
  return nats >= kShapeNats ? LossShape::share : LossShape::outlet;
}

Finding shortfall_finding(const CheckContext& context, FindingKind kind, const Shortfall& spell) {
  Finding finding = finding_over(context, kind, spell.gauge, spell.first_hour, spell.last_hour);
  finding.tier = spell.confirmed ? Tier::confirmed : Tier::provisional;
  if (!spell.open) finding.to = context.hours.axis().begin(spell.last_hour);
  finding.called = context.hours.axis().end(spell.called_hour);
  finding.score = spell.score;
  return finding;
}

ScoreGrowth growth_of(const CheckContext& context, const Shortfall& spell,
                      const LearnedThreshold& level) {
  const StepAxis& axis = context.hours.axis();
  return growth_along(axis, spell.path, level, axis.end(spell.called_hour));
}

Shortfalls find_shortfalls(const CheckContext& context) {
  Shortfalls out;
  const auto spells = all_spells(context);
  out.threshold = learn(context, spells);
  const OutletLevels levels{out.threshold.provisional, out.threshold.confirmed};
  for (std::size_t gauge = 0; gauge < spells.size(); ++gauge) {
    const bool any = std::any_of(spells[gauge].begin(), spells[gauge].end(),
                                 [&](const auto& s) { return s.peak >= levels.provisional; });
    if (!any) continue;
    for (const OutletSpell& spell : joined(context, gauge, outlet_spells(context, gauge, levels)))
      if (spell.called && spell.wet_hours > 0 && !has_innocence(context, gauge, spell))
        out.spells.push_back(made(context, gauge, spell));
  }
  return out;
}

}  // namespace gaugeloom
