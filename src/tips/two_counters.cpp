#include "gaugeloom/tips/two_counters.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kDryGap{6};  // the usual gap between storms (common practice)
constexpr double kTwiceFrom = 1.8;  // our choice: what counts twice misses a few of its seconds
constexpr double kTwiceTo = 2.2;
constexpr double kFewestTwice = 20;  // tips of the other, for the ratio to mean anything

// Whether `tips` are those of a counter that counts every turn twice, beside `other`.
bool counts_twice(std::size_t tips, std::size_t other) {
  const auto ratio =
      static_cast<double>(tips) / static_cast<double>(std::max<std::size_t>(1, other));
  return static_cast<double>(other) >= kFewestTwice && ratio >= kTwiceFrom && ratio <= kTwiceTo;
}

// Whether counter i counts every turn twice beside another, by the spells in which both counted.
bool is_doubling(std::size_t i, const std::vector<std::vector<std::size_t>>& tips_of_spells) {
  for (std::size_t j = 0; j < tips_of_spells.front().size(); ++j) {
    std::size_t own = 0;
    std::size_t other = 0;
    for (const std::vector<std::size_t>& tips : tips_of_spells) {
      if (tips[i] == 0 || tips[j] == 0) continue;
      own += tips[i];
      other += tips[j];
    }
    if (counts_twice(own, other)) return true;
  }
  return false;
}

struct Entry {
  Instant time;
  TipSource source;
};

std::vector<Entry> entries_by_time(std::span<const CounterTips> counters) {
  std::vector<Entry> entries;
  for (std::size_t c = 0; c < counters.size(); ++c)
    for (std::size_t i = 0; i < counters[c].tips.times.size(); ++i)
      if (const TipFate fate = counters[c].tips.fates[i];
          fate == TipFate::kept || fate == TipFate::test)
        entries.push_back({counters[c].tips.times[i], {c, i}});
  if (counters.size() == 1) return entries;  // by time already
  std::ranges::sort(entries, {}, [](const Entry& entry) {
    return std::tuple(entry.time, entry.source.counter, entry.source.tip);
  });
  return entries;
}

std::chrono::seconds resolution_of(const JudgedTips& tips, std::size_t tip) {
  const auto run = std::ranges::upper_bound(tips.runs, tip, {}, &StampRun::last);
  return run->resolution;
}

class Choice {
 public:
  explicit Choice(std::span<CounterTips> counters)
      : counters_(counters), entries_(entries_by_time(counters)) {}

  ChosenTips make() {
    std::vector<std::span<const Entry>> spells;
    std::vector<std::vector<std::size_t>> tips_of_spells{
        std::vector<std::size_t>(counters_.size())};  // one of none, so that there is one
    for (std::size_t first = 0, last = 0; first < entries_.size(); first = last) {
      for (last = first + 1; last < entries_.size(); ++last)
        if (entries_[last].time - entries_[last - 1].time > kDryGap) break;
      spells.push_back(std::span(entries_).subspan(first, last - first));
      tips_of_spells.push_back(count(spells.back()));
    }
    for (std::size_t i = 0; i < counters_.size(); ++i)
      doubling_.push_back(is_doubling(i, tips_of_spells));
    const auto sound = std::ranges::find(doubling_, false);
    if (sound == doubling_.end())
      doubling_.assign(counters_.size(), false);  // in a circle
    else
      chosen_.usual = static_cast<std::size_t>(sound - doubling_.begin());
    chosen_.usual = believed(count(entries_));
    for (const std::span<const Entry> spell : spells) take(spell);
    return std::move(chosen_);
  }

 private:
  TipFate& fate(const Entry& entry) {
    return counters_[entry.source.counter].tips.fates[entry.source.tip];
  }

  std::vector<std::size_t> count(std::span<const Entry> spell) {
    std::vector<std::size_t> tips(counters_.size());
    for (const Entry& entry : spell)
      if (fate(entry) == TipFate::kept) ++tips[entry.source.counter];
    return tips;
  }

  // The one with most of these tips; the usual one on a tie.
  std::size_t believed(const std::vector<std::size_t>& tips) const {
    std::size_t best = chosen_.usual;
    for (std::size_t i = 0; i < tips.size(); ++i)
      if (!doubling_[i] && tips[i] > tips[best]) best = i;
    return best;
  }

  void take(std::span<const Entry> spell) {
    const std::size_t counter = believed(count(spell));
    if (counter != chosen_.usual)
      chosen_.elsewhere.push_back({spell.front().time, spell.back().time + Duration(1)});
    for (const Entry& entry : spell) {
      if (fate(entry) == TipFate::kept && entry.source.counter != counter)
        fate(entry) = TipFate::other_counter;
      else
        add(entry);
    }
  }

  void add(const Entry& entry) {
    const JudgedTips& from = counters_[entry.source.counter].tips;
    JudgedTips& into = chosen_.tips;
    const std::chrono::seconds resolution = resolution_of(from, entry.source.tip);
    const std::size_t at = into.times.size();
    if (into.runs.empty() || into.runs.back().resolution != resolution)
      into.runs.push_back({at, at + 1, resolution});
    else
      into.runs.back().last = at + 1;
    into.stamps.push_back(from.stamps[entry.source.tip]);
    into.times.push_back(entry.time);
    into.fates.push_back(fate(entry));
    chosen_.sources.push_back(entry.source);
  }

  std::span<CounterTips> counters_;
  std::vector<Entry> entries_;
  std::vector<bool> doubling_;
  ChosenTips chosen_;
};

}  // namespace

ChosenTips choose_counters(std::span<CounterTips> counters) {
  GAUGELOOM_ASSERT(!counters.empty());
  return Choice(counters).make();
}

}  // namespace gaugeloom
