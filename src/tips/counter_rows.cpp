#include "gaugeloom/tips/counter_rows.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr double kAgreeing = 0.9;
constexpr double kHeardFrom = 50;  // tips
constexpr double kContradicted = 2;

Interval month_interval(std::chrono::year_month month) {
  return {std::chrono::sys_days{month / 1},
          std::chrono::sys_days{(month + std::chrono::months(1)) / 1}};
}

class Rows {
 public:
  Rows(const CorrectedGauge& gauge, const ExpectedTips& expected)
      : gauge_(gauge), expected_(expected) {}

  std::vector<CounterRow> make(std::span<const TipMonth> months) {
    if (gauge_.counters.size() > 1) {
      add_months(months);
      add_spells();
      for (const CounterClockSet& set : gauge_.account.sets) add_set(set);
    }
    for (const CounterTips& counter : gauge_.counters)
      for (const TimeSetBack& back : counter.tips.set_back) add_back(counter, back);
    std::ranges::stable_sort(rows_, {}, [](const CounterRow& row) { return row.over.from; });
    return std::move(rows_);
  }

 private:
  CounterRow row_of(CounterRowKind kind, const Interval& over, std::size_t other) const {
    return {kind, over, gauge_.counters[gauge_.account.usual].counter,
            gauge_.counters[other].counter};
  }

  void add_months(std::span<const TipMonth> months) {
    if (months.empty()) return;
    auto month = months.begin();
    for (std::chrono::year_month at = months.front().month; at <= months.back().month;
         at += std::chrono::months(1)) {
      CounterRow row = row_of(CounterRowKind::month, month_interval(at), gauge_.account.other);
      if (month->month == at) {
        row.both = month->matched;
        row.tips_usual = month->matched + month->only_usual;
        row.tips_other = month->matched + month->only_other;
        row.kept = month->tips[static_cast<std::size_t>(TipFate::kept)];
        ++month;
      }
      if (expected_) row.expected_tips = expected_(alive(row.over));
      if (gauge_.account.clocks.is_known() && row.tips_other > 0)
        row.ahead = -gauge_.account.clocks.ahead(row.over.to);
      rows_.push_back(row);
    }
  }

  // The part of a month between the first and the last tip.
  Interval alive(Interval month) const {
    Instant first = Instant::max();
    Instant last = Instant::min();
    for (const CounterTips& counter : gauge_.counters) {
      if (counter.tips.stamps.empty()) continue;
      first = std::min(first, counter.tips.stamps.front());
      last = std::max(last, counter.tips.stamps.back());
    }
    return {std::max(month.from, first), std::min(month.to, last + Duration(1))};
  }

  void add_spells() {
    const CounterSpell* before = nullptr;
    for (const CounterSpell& spell : gauge_.account.spells) {
      if (spell.verdict.why != CounterReason::agree) {
        if (before != nullptr && before->verdict == spell.verdict && before->other == spell.other)
          rows_.back().over.to = spell.over.to;
        else
          begin_spell(spell);
        CounterRow& row = rows_.back();
        row.tips_usual += spell.tips_usual;
        row.tips_other += spell.tips_other;
        row.both += spell.both;
        row.expected_tips += spell.expected_tips;
      }
      before = &spell;
    }
  }

  void begin_spell(const CounterSpell& spell) {
    rows_.push_back(row_of(CounterRowKind::spell, spell.over, spell.other));
    rows_.back().verdict = spell.verdict;
    rows_.back().expected_tips = 0;
    if (spell.other == gauge_.account.other && gauge_.account.clocks.is_known())
      rows_.back().ahead = -gauge_.account.clocks.ahead(spell.over.from);
  }

  void add_set(const CounterClockSet& set) {
    rows_.push_back(row_of(CounterRowKind::clock_set, {set.set.after, set.set.before}, set.other));
    rows_.back().ahead = set.set.by;
  }

  void add_back(const CounterTips& counter, const TimeSetBack& back) {
    rows_.push_back({CounterRowKind::set_back, {back.to, back.from}, counter.counter});
    rows_.back().tips_usual = back.tips;
    rows_.back().ahead = back.to - back.from;
  }

  const CorrectedGauge& gauge_;
  const ExpectedTips& expected_;
  std::vector<CounterRow> rows_;
};

}  // namespace

double CounterRow::match_rate() const {
  const std::size_t either = tips_usual + tips_other - both;
  return either == 0 ? std::numeric_limits<double>::quiet_NaN()
                     : static_cast<double>(both) / static_cast<double>(either);
}

CounterFinding finding_of(const CounterRow& month) {
  if (month.match_rate() < kAgreeing) return CounterFinding::differ;
  const auto kept = static_cast<double>(month.kept);
  if (std::max(kept, month.expected_tips) < kHeardFrom) return CounterFinding::agree;
  if (kContradicted * kept < month.expected_tips) return CounterFinding::both_low;
  return kept > kContradicted * month.expected_tips ? CounterFinding::both_high
                                                    : CounterFinding::agree;
}

std::vector<CounterRow> counter_rows(const CorrectedGauge& gauge, std::span<const TipMonth> months,
                                     const ExpectedTips& expected) {
  return Rows(gauge, expected).make(months);
}

}  // namespace gaugeloom
