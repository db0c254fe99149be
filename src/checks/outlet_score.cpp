#include "checks/outlet_score_internal.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostNatsAnHour = 4;
constexpr double kMostNatsAStorm = 5;
constexpr double kStormNats = 1;  // a storm that gave less is no second witness
constexpr double kEndNats = 6;
constexpr std::size_t kDryGapHours = 6;
constexpr double kRainMm = 0.05;       // expected in an hour of a storm
constexpr double kSureAtCap = 0.6;     // share of hours at the cap that read it; our choice
constexpr double kSureDraining = 0.3;  // of hours fed by the store
constexpr double kNothingMm = 0.02;
constexpr double kBeyondMm = 3;  // more than the outlet passes, and three times it, ends the spell
constexpr double kBeyondTimes = 3;
constexpr double kKept = 1e-3;  // mm in the store that count

struct Hour {
  double expected_mm = 0;  // 0 when unknown
  double wet_share = 0;
  double observed_mm = 0;
  HourRow row = 0;
  std::size_t seen = 0;  // class
  bool usable = false;
};

Hour hour_of(const CheckContext& context, std::size_t gauge, std::size_t h) {
  Hour hour;
  const double expected = context.expected.depth_at(gauge, h);
  if (std::isnan(expected)) return hour;
  hour.expected_mm = expected;
  hour.wet_share = context.expected.wet_at(gauge, h);
  hour.observed_mm = context.hours.depth_mm(gauge, h);
  hour.usable = !std::isnan(hour.observed_mm);
  if (!hour.usable) return hour;
  hour.row = row_of_hour(context.expected, gauge, h);
  hour.seen = hour_class(hour.observed_mm);
  return hour;
}

std::vector<Hour> hours_of(const CheckContext& context, std::size_t gauge, std::size_t first,
                           std::size_t last) {
  std::vector<Hour> hours;
  hours.reserve(last - first);
  for (std::size_t h = first; h < last; ++h) hours.push_back(hour_of(context, gauge, h));
  return hours;
}

// An outlet that is fed the expected rain hour by hour.
class Outlet {
 public:
  Outlet(const CheckContext& context, std::size_t gauge, const OutletGuess& guess)
      : law_(context.hour_law),
        guess_(guess),
        cap_mm_(guess.outlet.cap_mm_h * context.hours.axis().step_hours()),
        drained_(1 - portable_exp(-context.hours.axis().step_hours() / guess.outlet.drain_h)),
        bucket_mm_(context.network.gauges[gauge].bucket_mm),
        closeness_(context.around.closeness[gauge]) {}

  void empty() { stored_mm_ = 0; }

  // Nats for it in one hour.
  double nats(const Hour& hour) {
    const double before = stored_mm_;
    const double reach = stored_mm_ + guess_.share * hour.expected_mm;
    passed_mm_ = std::min(cap_mm_, reach * drained_);
    stored_mm_ = std::min(reach - passed_mm_, guess_.outlet.capacity_mm);
    if (!hour.usable) return 0;
    const double sure = sureness(before);
    double p = (1 - sure) * law_.probability(row(hour, sure > 0), hour.seen);
    if (sure > 0) p += sure * share_of_tips(hour.seen);
    const double l = portable_log(p / law_.probability(hour.row, hour.seen));
    return closeness_ * std::clamp(l, -kMostNatsAnHour, kMostNatsAnHour);
  }

  // Whether the gauge had far more in that last hour than the outlet can pass.
  bool is_beyond(const Hour& hour) const {
    return hour.usable && hour.observed_mm > passed_mm_ + kBeyondMm &&
           hour.observed_mm > kBeyondTimes * passed_mm_;
  }

 private:
  double sureness(double before_mm) const {
    const bool at_cap = passed_mm_ >= 0.999 * cap_mm_ && stored_mm_ > 0.3 * cap_mm_;
    if (at_cap) return kSureAtCap;
    return before_mm > kKept && before_mm * drained_ >= 0.5 * passed_mm_ ? kSureDraining : 0;
  }

  HourRow row(const Hour& hour, bool sure) const {
    if (passed_mm_ < kNothingMm && hour.row == kDryAroundRow) return kDryAroundRow;
    return hour_row(passed_mm_, sure ? 1 : hour.wet_share);
  }

  // What passed, in whole tips on either side of it.
  double share_of_tips(std::size_t seen) const {
    const double tips = std::floor(passed_mm_ / bucket_mm_);
    const double above = passed_mm_ / bucket_mm_ - tips;
    const double rounding = 1e-4;
    double share = 0;
    if (hour_class(tips > 0 ? tips * bucket_mm_ + rounding : 0) == seen) share += 1 - above;
    if (hour_class((tips + 1) * bucket_mm_ + rounding) == seen) share += above;
    return share;
  }

  const HourLaw& law_;
  OutletGuess guess_;
  double cap_mm_;
  double drained_;
  double bucket_mm_;
  double closeness_;
  double stored_mm_ = 0;
  double passed_mm_ = 0;
};

// A sum of nats of which each storm adds only so much.
class StormSum {
 public:
  // Before the nats of an hour; returns whether a new storm begins with it.
  bool enter(bool wet) {
    const bool begins = wet && dry_hours_ >= kDryGapHours;
    dry_hours_ = wet ? 0 : dry_hours_ + 1;
    if (begins) {
      storms_ += storm_spoke() ? 1 : 0;
      base_ = sum_;
    }
    return begins;
  }
  double with(double nats) const { return std::min(sum_ + nats, base_ + kMostNatsAStorm); }
  void set(double sum) { sum_ = sum; }
  void restart() {
    sum_ = base_ = 0;
    storms_ = 0;
  }
  double value() const { return sum_; }
  std::size_t storms() const { return storms_ + (storm_spoke() ? 1 : 0); }

 private:
  bool storm_spoke() const { return sum_ - base_ >= kStormNats; }
  double sum_ = 0;
  double base_ = 0;  // at the beginning of the storm
  std::size_t storms_ = 0;
  std::size_t dry_hours_ = kDryGapHours;
};

class Walk {
 public:
  Walk(const CheckContext& context, std::size_t gauge, const OutletGuess& guess,
       const OutletLevels& levels)
      : outlet_(context, gauge, guess),
        guess_(guess),
        levels_(levels),
        keeps_path_(context.keep_growth) {}

  void add_spells(const std::vector<Hour>& hours, std::vector<OutletSpell>& spells) {
    for (std::size_t h = 0; h < hours.size(); ++h) step(h, hours[h], spells);
    spell_.open = true;
    close(spells);
  }

 private:
  void step(std::size_t h, const Hour& hour, std::vector<OutletSpell>& spells) {
    const bool wet = hour.expected_mm >= kRainMm;
    sum_.enter(wet);
    if (!wet && sum_.value() <= 0) return;
    const double l = outlet_.nats(hour);
    const double now = sum_.with(l);
    if (now <= 0 || now < spell_.peak - kEndNats || outlet_.is_beyond(hour)) return close(spells);
    if (sum_.value() <= 0) spell_.first = h;
    if (hour.observed_mm > 0) ++wet_hours_;
    sum_.set(now);
    if (keeps_path_ && l != 0) spell_.path.push_back({h, now});
    if (now > spell_.peak) rise(h);
  }

  void rise(std::size_t h) {
    spell_.peak = sum_.value();
    spell_.last = h + 1;
    spell_.storms = sum_.storms();
    spell_.wet_hours = wet_hours_;
    if (wet_hours_ < kLeastWetHours) return;
    if (!spell_.called && spell_.peak >= levels_.provisional) spell_.called = h;
    if (!spell_.confirmed && spell_.storms >= 2 && spell_.peak >= levels_.confirmed)
      spell_.confirmed = h;
  }

  void close(std::vector<OutletSpell>& spells) {
    if (spell_.peak > 0) {
      spell_.guess = guess_;
      spells.push_back(std::move(spell_));
    }
    spell_ = OutletSpell{};
    sum_.restart();
    wet_hours_ = 0;
    outlet_.empty();
  }

  static constexpr std::size_t kLeastWetHours = 2;  // else it is blocked

  Outlet outlet_;
  OutletGuess guess_;
  OutletLevels levels_;
  bool keeps_path_;
  StormSum sum_;
  OutletSpell spell_;
  std::size_t wet_hours_ = 0;
};

// Caps about a factor 1.4 apart, drained at once or over hours; and shares, for what spills.
std::vector<OutletGuess> all_guesses() {
  std::vector<OutletGuess> all;
  for (const double cap_mm_h : {0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.5})
    for (const double drain_h : {0.1, 2.0})
      all.push_back({{.cap_mm_h = cap_mm_h, .drain_h = drain_h}, 1});
  for (const double share : {0.06, 0.15, 0.3})
    all.push_back({{.cap_mm_h = 1000, .drain_h = 0.1}, share});
  return all;
}

void take_earlier(std::optional<std::size_t>& hour, const std::optional<std::size_t>& other) {
  if (other && (!hour || *other < *hour)) hour = other;
}

std::vector<OutletSpell> without_overlaps(std::vector<OutletSpell> all) {
  std::stable_sort(all.begin(), all.end(),
                   [](const OutletSpell& a, const OutletSpell& b) { return a.peak > b.peak; });
  std::vector<OutletSpell> kept;
  for (OutletSpell& spell : all) {
    const auto over = std::find_if(kept.begin(), kept.end(), [&](const OutletSpell& k) {
      return spell.first < k.last && k.first < spell.last;
    });
    if (over == kept.end()) {
      kept.push_back(std::move(spell));
    } else {
      take_earlier(over->called, spell.called);
      take_earlier(over->confirmed, spell.confirmed);
      if (!spell.path.empty()) over->path = higher_of(over->path, spell.path);
    }
  }
  std::sort(kept.begin(), kept.end(),
            [](const OutletSpell& a, const OutletSpell& b) { return a.first < b.first; });
  return kept;
}

}  // namespace

std::vector<OutletSpell> outlet_spells(const CheckContext& context, std::size_t gauge,
                                       const OutletLevels& levels) {
  const auto hours = hours_of(context, gauge, 0, context.hours.step_count());
  std::vector<OutletSpell> all;
  for (const OutletGuess& guess : all_guesses())
    Walk(context, gauge, guess, levels).add_spells(hours, all);
  return without_overlaps(std::move(all));
}

double outlet_nats(const CheckContext& context, std::size_t gauge, const OutletGuess& guess,
                   std::size_t first, std::size_t last) {
  Outlet outlet(context, gauge, guess);
  double sum = 0;
  for (const Hour& hour : hours_of(context, gauge, first, last)) sum += outlet.nats(hour);
  return sum;
}

double late_nats(const CheckContext& context, std::size_t gauge, int late, std::size_t first,
                 std::size_t last) {
  double sum = 0;
  const auto count = static_cast<long>(context.hours.step_count());
  for (std::size_t h = first; h < last; ++h) {
    const long then = static_cast<long>(h) - late;
    if (then < 0 || then >= count) continue;
    const Hour hour = hour_of(context, gauge, h);
    const Hour true_hour = hour_of(context, gauge, static_cast<std::size_t>(then));
    if (!hour.usable || !true_hour.usable) continue;
    const double l = portable_log(context.hour_law.probability(true_hour.row, hour.seen) /
                                  context.hour_law.probability(hour.row, hour.seen));
    sum += context.around.closeness[gauge] * std::clamp(l, -kMostNatsAnHour, kMostNatsAnHour);
  }
  return sum;
}

}  // namespace gaugeloom
