#include "checks/shortfall_internal.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/funnel_store.hpp"
#include "gaugeloom/expect/peak_threshold.hpp"

namespace gaugeloom {
namespace {

constexpr double kDriftNats = 1.5;
constexpr double kMostNatsADay = 7;
constexpr double kBadShare = 0.5;  // of what was expected
constexpr double kRecoveredShare = 0.6;
constexpr double kTellingMm = 3;  // expected on a day that can show recovery
constexpr double kBadDayNats = 2;
constexpr std::size_t kLookBackHours = 240;
constexpr double kShapeNats = 2;          // by which a share must fit better than an outlet
constexpr double kLeastShare = 0.25;      // less is taken for a block; our choice
constexpr double kTellingHourMm = 0.2;    // expected or read in an hour that tells a shape
constexpr std::size_t kLeastTelling = 8;  // hours
constexpr std::size_t kWitnesses = 4;     // neighbours asked whether it was dry there too
constexpr double kWitnessFactor = 1.6;    // as little: our choice, the spread of two gauges that
constexpr double kWitnessMm = 2;          // share a storm's edge

struct Levels {
  double provisional = std::numeric_limits<double>::infinity();
  double confirmed = std::numeric_limits<double>::infinity();
};

struct Spell {
  std::size_t first = 0;  // days [first, last)
  std::size_t last = 0;
  bool open = false;
  double peak = 0;
  std::size_t bad_days = 0;
  std::optional<std::size_t> called;     // day
  std::optional<std::size_t> confirmed;  // day
};

class Walk {
 public:
  Walk(const CheckContext& context, std::size_t gauge, const Levels& levels)
      : context_(context),
        gauge_(gauge),
        bucket_mm_(context.network.gauges[gauge].bucket_mm),
        levels_(levels) {}

  std::vector<Spell> spells() {
    const auto days = context_.days.row(gauge_);
    for (std::size_t day = 0; day < days.size(); ++day) step(day, days[day]);
    spell_.open = true;
    close();
    return std::move(spells_);
  }

 private:
  void step(std::size_t day, const BlockSum& sum) {
    if (sum.usable_share < kLeastBlockShare || !context_.ratios.judges(sum.expected_mm)) return;
    const double share = sum.observed_mm / sum.expected_mm;
    if (sum.expected_mm >= kTellingMm && share >= kRecoveredShare) return close();
    double nats = 0;
    if (share < kBadShare) {
      const double ratio = log_ratio(sum.observed_mm, sum.expected_mm, bucket_mm_);
      nats = std::min(kMostNatsADay, context_.around.closeness[gauge_] *
                                         context_.ratios.low_nats(sum.expected_mm, ratio));
    }
    const double before = score_;
    score_ = std::max(0.0, score_ + nats - kDriftNats);
    if (score_ <= 0) return close();
    if (before <= 0) begin(day);
    add(day, sum, nats);
  }

  void begin(std::size_t day) {
    spell_ = Spell{};
    spell_.first = day;
    observed_mm_ = expected_mm_ = 0;
  }

  void add(std::size_t day, const BlockSum& sum, double nats) {
    observed_mm_ += sum.observed_mm;
    expected_mm_ += sum.expected_mm;
    spell_.last = day + 1;
    if (nats >= kBadDayNats) ++spell_.bad_days;
    spell_.peak = std::max(spell_.peak, score_);
    if (!(observed_mm_ > 0) || observed_mm_ >= kBadShare * expected_mm_) return;
    if (!spell_.called && score_ >= levels_.provisional) spell_.called = day;
    if (spell_.called && !spell_.confirmed && spell_.bad_days >= 2 && score_ >= levels_.confirmed) {
      spell_.confirmed = day;
    }
  }

  void close() {
    if (spell_.peak > 0) spells_.push_back(spell_);
    spell_ = Spell{};
    score_ = 0;
  }

  const CheckContext& context_;
  std::size_t gauge_;
  double bucket_mm_;
  Levels levels_;
  std::vector<Spell> spells_;
  Spell spell_;
  double score_ = 0;
  double observed_mm_ = 0;
  double expected_mm_ = 0;
};

// Rain within an hour of `hour`.
bool rained_near(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const std::size_t first = hour > 0 ? hour - 1 : 0;
  const std::size_t last = std::min(hour + 2, context.hours.step_count());
  for (std::size_t h = first; h < last; ++h) {
    if (context.hours.depth_mm(gauge, h) > 0) return true;
  }
  return false;
}

// A neighbour with as little rain, at the same hours: then it is a dry spot, not a fault. Asked of
// the four nearest that were live, whether excluded or not.
bool has_witness(const CheckContext& context, std::size_t gauge, const Spell& spell) {
  const std::size_t first = context.days.first_window[spell.first];
  const std::size_t last = context.days.first_window[spell.called.value_or(spell.last - 1) + 1];
  std::size_t asked = 0;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (asked == kWitnesses) break;
    double own = 0;
    double its = 0;
    std::size_t live = 0;
    std::size_t wet = 0;
    std::size_t together = 0;
    for (std::size_t hour = first; hour < last; ++hour) {
      const double a = context.hours.depth_mm(gauge, hour);
      const double b = context.hours.depth_mm(n.gauge, hour);
      if (std::isnan(a) || std::isnan(b)) continue;
      ++live;
      own += a / context.site_ratio[gauge];
      its += b / context.site_ratio[n.gauge];
      if (a > 0) ++wet;
      if (a > 0 && rained_near(context, n.gauge, hour)) ++together;
    }
    if (2 * live < last - first) continue;
    ++asked;
    if (its <= kWitnessFactor * own + kWitnessMm && 2 * together >= wet) return true;
  }
  return false;
}

LearnedThreshold learn(const CheckContext& context) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::partly_blocked)) return *frozen;
  std::vector<double> peaks;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    for (const Spell& spell : Walk(context, gauge, {}).spells()) {
      if (has_witness(context, gauge, spell)) continue;
      peaks.push_back(spell.peak);
    }
  }
  // A cumulative sum of exponential(1) variables less 1.5 has the tail exp(-0.583 S).
  const PeakTail tail{.base = 1, .prior_scale = 1.7, .prior_peaks = 20, .least = 5, .most = 16};
  const double share = dial_share(FindingKind::partly_blocked);
  const auto provisional = peak_level(
      peaks, context.gauge_years, share * context.options.provisional_calls_per_gauge_year, tail);
  const auto confirmed = peak_level(std::move(peaks), context.gauge_years,
                                    share * context.options.confirmed_calls_per_gauge_year, tail);
  return {FindingKind::partly_blocked,
          provisional.level,
          std::max(confirmed.level, provisional.level + 2),
          provisional.scale,
          provisional.peaks,
          {}};
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

// The first good hour at or after the end of the last bad day, if the record has one.
std::optional<std::size_t> end_hour(const CheckContext& context, std::size_t gauge,
                                    std::size_t last_hour) {
  for (std::size_t hour = last_hour; hour < context.hours.step_count(); ++hour) {
    if (is_good_hour(context, gauge, hour)) return hour;
  }
  return std::nullopt;
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

// Whether the gauge ever read what was expected on a telling day before day `first`.
bool was_good(const CheckContext& context, std::size_t gauge, std::size_t first) {
  const auto days = context.days.row(gauge).first(first);
  return std::any_of(days.begin(), days.end(), [](const BlockSum& day) {
    return day.usable_share >= kLeastBlockShare && day.expected_mm >= kTellingMm &&
           day.observed_mm >= kRecoveredShare * day.expected_mm;
  });
}

Shortfall made(const CheckContext& context, std::size_t gauge, const Spell& spell) {
  const std::size_t first = onset_hour(context, gauge, context.days.first_window[spell.first]);
  const auto recovered =
      spell.open ? std::nullopt : end_hour(context, gauge, context.days.first_window[spell.last]);
  Shortfall made{.gauge = gauge,
                 .first_hour = first,
                 .last_hour = recovered.value_or(context.hours.step_count()),
                 .open = !recovered,
                 .score = spell.peak,
                 .bad_days = spell.bad_days,
                 .called_day = *spell.called,
                 .confirmed = spell.confirmed.has_value()};
  if (was_good(context, gauge, spell.first))
    made.shape = loss_shape(context, gauge, made.first_hour, made.last_hour);
  return made;
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
  finding.called = context.days.axis.end(spell.called_day);
  finding.score = spell.score;
  return finding;
}

Shortfalls find_shortfalls(const CheckContext& context) {
  Shortfalls out;
  out.threshold = learn(context);
  const Levels levels{out.threshold.provisional, out.threshold.confirmed};
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    for (const Spell& spell : Walk(context, gauge, levels).spells()) {
      if (!spell.called || has_witness(context, gauge, spell)) continue;
      out.spells.push_back(made(context, gauge, spell));
    }
  }
  return out;
}

}  // namespace gaugeloom
