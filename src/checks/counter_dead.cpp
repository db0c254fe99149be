#include "gaugeloom/checks/counter_dead.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checks/finding_text_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastNats = 3;
constexpr double kOnsetNats = 1;
constexpr double kReturnNats = 3;
constexpr double kWholeHourShare = 0.3;
constexpr double kMostNatsACompanion = 4;
constexpr double kMostNatsOfCompanions = 12;
constexpr double kUsualSilenceH = 240;  // over which another one could end; our choice
constexpr double kHoursPerYear = 8766;
constexpr double kFallenMm = 1;        // around the gauge: its silence is odd by then
constexpr double kRainBeforeMm = 0.5;  // around it, in the hour before it fell silent
constexpr double kMidStormH = 1;
constexpr double kLeastRight = 0.5;  // of the rain around, for a reading to be right
constexpr double kMostRight = 1.5;   // and what it had let go would come on top

constexpr std::chrono::hours kLatestRelease{48};   // after the silence
constexpr std::chrono::hours kLongestOverlap{24};  // partial blocks are counted in whole days

struct Silence {
  const Finding* blocked = nullptr;
  std::size_t first = 0;  // steps [first, last): after the last tip, before the next one
  std::size_t last = 0;
  std::size_t first_odd = 0;  // steps: the onset lies in [first, first_odd],
  std::size_t last_odd = 0;   // the end in [last_odd, last]
  bool cut_off = false;       // in mid-storm, with the right rain until then
  bool right_again = false;   // the same at its end
  std::vector<const Silence*> companions;
  double nats = 0;
};

class Silences {
 public:
  explicit Silences(const CheckContext& context)
      : context_(context), rain_(context.steps), axis_(context.steps.axis()) {
    const double per_hour = 1 / axis_.step_hours();
    steps_per_hour_ = static_cast<std::size_t>(std::max(1.0, std::round(per_hour)));
    for (const Finding& f : context.earlier)
      if (may_be_one(f)) all_.push_back(silence_of(f));
  }

  const std::vector<Silence>& judged() {
    for (Silence& silence : all_) find_companions(silence);
    for (Silence& silence : all_) weigh(silence);
    return all_;
  }

 private:
  bool may_be_one(const Finding& finding) const {
    if (finding.kind != FindingKind::blocked || finding.observed_mm > 0 || !finding.to ||
        finding.tier != Tier::confirmed)
      return false;
    return std::none_of(context_.earlier.begin(), context_.earlier.end(), [&](const Finding& f) {
      return f.gauge == finding.gauge && (is_its_release(f, finding) || drips_beyond(f, finding));
    });
  }

  static bool is_its_release(const Finding& burst, const Finding& silence) {
    return burst.kind == FindingKind::release_burst && burst.from >= silence.from &&
           burst.from < *silence.to + kLatestRelease;
  }

  // A partial block that began to drip before the silence or drips on after it.
  static bool drips_beyond(const Finding& partly, const Finding& silence) {
    if (partly.kind != FindingKind::partly_blocked) return false;
    if (partly.from > *silence.to || (partly.to && *partly.to < silence.from)) return false;
    return partly.from < silence.from - kLongestOverlap ||
           (!partly.to || *partly.to > *silence.to + kLongestOverlap);
  }

  Silence silence_of(const Finding& finding) const {
    Silence s;
    s.blocked = &finding;
    s.first = last_tip_before(finding);
    s.last = next_tip_after(finding);
    s.first_odd = s.first;
    for (double mm = 0; s.first_odd < s.last && mm < kFallenMm; ++s.first_odd)
      mm += around_mm(s, s.first_odd, s.first_odd + 1);
    s.last_odd = s.last;
    for (double mm = 0; s.last_odd > s.first_odd && mm < kFallenMm; --s.last_odd)
      mm += around_mm(s, s.last_odd - 1, s.last_odd);
    s.cut_off = was_cut_off(s);
    s.right_again = is_right_again(s);
    return s;
  }

  std::size_t last_tip_before(const Finding& finding) const {
    std::size_t step = step_at(finding.from);
    while (step > 0 && !(rain_.depth_mm(finding.gauge, step - 1) > 0)) --step;
    return step;
  }

  std::size_t next_tip_after(const Finding& finding) const {
    std::size_t step = step_at(*finding.to);
    while (step < axis_.count() && !(rain_.depth_mm(finding.gauge, step) > 0)) ++step;
    return step;
  }

  std::size_t step_at(Instant t) const {
    const long since = (t - axis_.begin(0)) / axis_.step();
    return static_cast<std::size_t>(std::clamp<long>(since, 0, static_cast<long>(axis_.count())));
  }

  // Mean of the neighbours it was held against, as rain of this gauge.
  double around_mm(const Silence& s, std::size_t first, std::size_t last) const {
    double sum = 0;
    double live = 0;
    for (const std::size_t n : s.blocked->neighbours) {
      const double depth = window_sum(rain_, n, first, last);
      if (std::isnan(depth)) continue;
      sum += depth / context_.site_ratio[n];
      live += 1;
    }
    return live > 0 ? context_.site_ratio[s.blocked->gauge] * sum / live : 0;
  }

  double hours(std::size_t steps) const { return static_cast<double>(steps) * axis_.step_hours(); }

  bool was_cut_off(const Silence& s) const {
    if (hours(s.first_odd - s.first) > kMidStormH || s.first < steps_per_hour_) return false;
    const double around = around_mm(s, s.first - steps_per_hour_, s.first);
    const double own = window_sum(rain_, s.blocked->gauge, s.first - steps_per_hour_, s.first);
    return around >= kRainBeforeMm && own >= kLeastRight * around;
  }

  bool is_right_again(const Silence& s) const {
    if (hours(s.last - s.last_odd) > kMidStormH || s.last + steps_per_hour_ > axis_.count())
      return false;
    const double around = around_mm(s, s.last, s.last + steps_per_hour_);
    const double own = window_sum(rain_, s.blocked->gauge, s.last, s.last + steps_per_hour_);
    return around >= kFallenMm && own >= kLeastRight * around && own <= kMostRight * around;
  }

  // What the moment of a sharp end says: outages often follow the clock, leaves never do.
  double clock_nats(std::size_t step) const {
    const double s = axis_.step_hours();
    if (s > 0.5) return 0;
    const bool whole = axis_.begin(0) + axis_.step() * static_cast<long>(step) ==
                       std::chrono::floor<std::chrono::hours>(
                           axis_.begin(0) + axis_.step() * static_cast<long>(step));
    if (!whole) return portable_log(1 - kWholeHourShare);
    return portable_log((kWholeHourShare + (1 - kWholeHourShare) * s) / s);
  }

  static bool meet(std::size_t a_first, std::size_t a_last, std::size_t b_first,
                   std::size_t b_last) {
    return a_first <= b_last && b_first <= a_last;
  }

  void find_companions(Silence& silence) const {
    for (const Silence& other : all_) {
      if (other.blocked->gauge == silence.blocked->gauge) continue;
      if (meet(silence.first, silence.first_odd, other.first, other.first_odd) &&
          meet(silence.last_odd, silence.last, other.last_odd, other.last))
        silence.companions.push_back(&other);
    }
  }

  void weigh(Silence& s) const {
    if (s.cut_off) s.nats += kOnsetNats + clock_nats(s.first);
    if (s.right_again) s.nats += kReturnNats + clock_nats(s.last);
    double together = 0;
    for (const Silence* other : s.companions) together += companion_nats(s, *other);
    s.nats += std::min(together, kMostNatsOfCompanions);
  }

  double companion_nats(const Silence& s, const Silence& other) const {
    const auto strangers = static_cast<double>(all_.size() - 1 - s.companions.size());
    const double a_year = (strangers + 0.5) / std::max(0.1, context_.gauge_years);
    const auto gauges = static_cast<double>(context_.network.size() - 1);
    const double onset_h = hours(s.first_odd - s.first + other.first_odd - other.first + 1);
    const double end_h = hours(s.last - s.last_odd + other.last - other.last_odd + 1);
    const double chance =
        gauges * a_year * onset_h / kHoursPerYear * std::min(1.0, end_h / kUsualSilenceH);
    return std::clamp(-portable_log(chance), 0.0, kMostNatsACompanion);
  }

  const CheckContext& context_;
  const RainTable& rain_;
  const StepAxis& axis_;
  std::size_t steps_per_hour_ = 1;
  std::vector<Silence> all_;
};

std::string companions_text(const CheckContext& context, const Silence& s) {
  std::string text;
  const std::size_t named = std::min<std::size_t>(3, s.companions.size());
  for (std::size_t i = 0; i < named; ++i) {
    if (i > 0) text += i + 1 == s.companions.size() ? " and " : ", ";
    text += context.network.gauges[s.companions[i]->blocked->gauge].label();
  }
  if (named < s.companions.size()) text += fmt::format(" and {} more", s.companions.size() - named);
  return text;
}

std::string reason_of(const CheckContext& context, const Silence& s, const Finding& finding) {
  std::string text =
      fmt::format("Not a tip over {} while {} was expected", span_text(*finding.to - finding.from),
                  mm_text(finding.expected_mm));
  if (s.cut_off)
    text += fmt::format(", cut off in mid-storm at {} with the right rain until then",
                        time_text(finding.from));
  text += '.';
  if (s.right_again)
    text += fmt::format(
        " At {}, in mid-storm, it was right again at once and let go no water: nothing had "
        "gathered in the funnel.",
        time_text(*finding.to));
  if (!s.companions.empty())
    text += fmt::format(" {} fell silent and came back at the same times.",
                        companions_text(context, s));
  return text + fmt::format(" Held against {}.",
                            neighbours_text(context, finding.gauge, finding.neighbours));
}

Finding made(const CheckContext& context, const Silence& s) {
  Finding finding = *s.blocked;
  const StepAxis& axis = context.steps.axis();
  finding.kind = FindingKind::counter_dead;
  finding.from = axis.begin(0) + axis.step() * static_cast<long>(s.first);
  finding.to = axis.begin(0) + axis.step() * static_cast<long>(s.last);
  finding.score = s.nats;
  finding.reason = reason_of(context, s, finding);
  finding.innocent_explanation =
      s.companions.empty() ? "A blocked funnel may have been cleaned and emptied in the rain."
                           : "Frost or snow can silence several gauges at once.";
  return finding;
}

}  // namespace

CheckOutcome find_counter_dead(const CheckContext& context) {
  CheckOutcome out;
  Silences silences(context);
  for (const Silence& s : silences.judged())
    if (s.nats >= kLeastNats) out.findings.push_back(made(context, s));
  if (!context.keep_growth) return out;
  for (const Finding& f : out.findings)
    out.growth.push_back({{{*f.to, f.score}}, kLeastNats, std::nullopt});
  return out;
}

}  // namespace gaugeloom
