#include "gaugeloom/tips/two_counters.hpp"

#include <algorithm>
#include <functional>
#include <optional>
#include <tuple>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/tips/counter_pair.hpp"

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kDryGap{6};  // the usual gap between storms (common practice)

std::size_t kept_of(const CounterTips& counter) {
  return static_cast<std::size_t>(std::ranges::count(counter.tips.fates, TipFate::kept));
}

// What is left to choose of: kept tips and disturbances, by time.
struct Entry {
  Instant time;
  TipSource source;
};

bool is_earlier(const Entry& a, const Entry& b) {
  return std::tuple(a.time, a.source.counter, a.source.tip) <
         std::tuple(b.time, b.source.counter, b.source.tip);
}

// One list, from those of several counters, each by time.
class Entries {
 public:
  void add(const Entry& entry) { all_.push_back(entry); }
  void end_counter() {
    std::inplace_merge(all_.begin(), all_.begin() + static_cast<std::ptrdiff_t>(merged_),
                       all_.end(), is_earlier);
    merged_ = all_.size();
  }
  const std::vector<Entry>& all() const { return all_; }

 private:
  std::vector<Entry> all_;
  std::size_t merged_ = 0;
};

std::chrono::seconds resolution_of(const JudgedTips& tips, std::size_t tip) {
  const auto run = std::ranges::upper_bound(tips.runs, tip, {}, &StampRun::last);
  return run->resolution;
}

// The kept and test tips on their own clocks.
void collect(std::span<const CounterTips> counters, ChosenTips& chosen) {
  Entries entries;
  for (std::size_t c = 0; c < counters.size(); ++c) {
    const JudgedTips& tips = counters[c].tips;
    for (std::size_t i = 0; i < tips.times.size(); ++i)
      if (tips.fates[i] == TipFate::kept || tips.fates[i] == TipFate::test)
        entries.add({tips.times[i], {c, i}});
    entries.end_counter();
  }
  for (const Entry& entry : entries.all()) {
    const JudgedTips& from = counters[entry.source.counter].tips;
    JudgedTips& into = chosen.tips;
    const std::chrono::seconds resolution = resolution_of(from, entry.source.tip);
    const std::size_t at = into.times.size();
    if (into.runs.empty() || into.runs.back().resolution != resolution)
      into.runs.push_back({at, at + 1, resolution});
    else
      into.runs.back().last = at + 1;
    into.stamps.push_back(from.stamps[entry.source.tip]);
    into.times.push_back(entry.time);
    into.fates.push_back(from.fates[entry.source.tip]);
    chosen.sources.push_back(entry.source);
  }
}

// A spell of one pair of counters.
struct PairTally {
  CounterTally usual;
  CounterTally other;
  std::size_t both = 0;
};

void count(const PairedCounter& side, std::size_t i, CounterTally& tally) {
  ++tally.tips;
  tally.alone += side.alone[i] > 0 ? 1 : 0;
  tally.in_pairs += side.alone[i] > 1 ? 1 : 0;
  tally.in_dead_rows += side.alone[i] >= kDeadRow ? 1 : 0;
}

// The counters held against one of them.
class HeldAgainst {
 public:
  HeldAgainst(std::span<CounterTips> counters, std::size_t usual)
      : counters_(counters), usual_(usual) {
    for (std::size_t c = 0; c < counters.size(); ++c)
      if (c != usual) pairs_.push_back({c, pair_counters(counters[usual], counters[c])});
    for (const Pair& pair : pairs_)
      mark_slow_bounce(pair.held, counters[usual], counters[pair.other]);
    for (Pair& pair : pairs_) mark_rows(pair.held, counters[usual], counters[pair.other]);
    collect_entries();
    find_spells();
  }

  struct Pair {
    std::size_t other;
    CounterPair held;
  };
  struct Spell {
    std::span<const Entry> entries;  // a source's tip is its index in PairedCounter
    std::vector<PairTally> tallies;  // by pair
  };
  const std::vector<Pair>& pairs() const { return pairs_; }
  const std::vector<Spell>& spells() const { return spells_; }
  std::size_t usual() const { return usual_; }

  TipFate& fate(const Entry& entry) {
    return counters_[entry.source.counter].tips.fates[side(entry).tips[entry.source.tip]];
  }
  const PairedCounter& side(const Entry& entry) const {
    return entry.source.counter == usual_ ? pairs_.front().held.usual
                                          : pair_of(entry.source.counter).held.other;
  }

  // Whether a pair's usual or other counter counts twice where both counted.
  struct Twice {
    bool usual;
    bool other;
  };
  Twice twice(std::size_t pair) const {
    std::size_t usual = 0;
    std::size_t other = 0;
    for (const Spell& spell : spells_) {
      const PairTally& tally = spell.tallies[pair];
      if (tally.usual.tips == 0 || tally.other.tips == 0) continue;
      usual += tally.usual.tips;
      other += tally.other.tips;
    }
    return {is_twice(usual, other), is_twice(other, usual)};
  }

 private:
  const Pair& pair_of(std::size_t counter) const {
    return pairs_[counter < usual_ ? counter : counter - 1];
  }

  void collect_entries() {
    add_side(usual_, pairs_.front().held.usual);
    for (const Pair& pair : pairs_) add_side(pair.other, pair.held.other);
  }
  void add_side(std::size_t counter, const PairedCounter& side) {
    for (std::size_t i = 0; i < side.tips.size(); ++i)
      if (counters_[counter].tips.fates[side.tips[i]] != TipFate::bounce)
        entries_.add({side.times[i], {counter, i}});
    entries_.end_counter();
  }

  void find_spells() {
    const std::span<const Entry> all(entries_.all());
    for (std::size_t first = 0, last = 0; first < all.size(); first = last) {
      for (last = first + 1; last < all.size(); ++last)
        if (all[last].time - all[last - 1].time > kDryGap) break;
      spells_.push_back({all.subspan(first, last - first), tallies(all, first, last)});
    }
  }

  std::vector<PairTally> tallies(std::span<const Entry> all, std::size_t first, std::size_t last) {
    std::vector<PairTally> tallies(pairs_.size());
    for (const Entry& entry : all.subspan(first, last - first)) {
      if (fate(entry) != TipFate::kept) continue;
      const std::size_t i = entry.source.tip;
      for (std::size_t p = 0; p < pairs_.size(); ++p) {
        const CounterPair& held = pairs_[p].held;
        if (entry.source.counter == usual_) {
          count(held.usual, i, tallies[p].usual);
          tallies[p].both += held.usual.matched[i] ? 1 : 0;
        } else if (entry.source.counter == pairs_[p].other) {
          count(held.other, i, tallies[p].other);
        }
      }
    }
    return tallies;
  }

  std::span<CounterTips> counters_;
  std::size_t usual_;
  std::vector<Pair> pairs_;
  Entries entries_;
  std::vector<Spell> spells_;
};

class Choice {
 public:
  Choice(std::span<CounterTips> counters, const ExpectedTips& expected)
      : counters_(counters), expected_(expected), doubles_(counters.size(), false) {}

  ChosenTips make() {
    HeldAgainst held = settle_usual();
    chosen_.account.usual = held.usual();
    for (std::size_t p = 0; p < held.pairs().size(); ++p) account(held, p);
    mark_partners(held);
    for (const HeldAgainst::Spell& spell : held.spells()) take(held, spell);
    return std::move(chosen_);
  }

 private:
  // The counter with most tips that does not double another.
  HeldAgainst settle_usual() {
    std::vector<std::size_t> order(counters_.size());
    for (std::size_t c = 0; c < order.size(); ++c) order[c] = c;
    std::ranges::stable_sort(order, std::greater{},
                             [&](std::size_t c) { return kept_of(counters_[c]); });
    for (const std::size_t candidate : order) {
      HeldAgainst held(counters_, candidate);
      for (std::size_t p = 0; p < held.pairs().size(); ++p) {
        const HeldAgainst::Twice twice = held.twice(p);
        if (twice.usual) doubles_[candidate] = true;
        if (twice.other) doubles_[held.pairs()[p].other] = true;
      }
      if (!doubles_[candidate]) return held;
    }
    doubles_.assign(counters_.size(), false);  // in a circle
    return HeldAgainst(counters_, order.front());
  }

  void account(const HeldAgainst& held, std::size_t p) {
    const HeldAgainst::Pair& pair = held.pairs()[p];
    CounterAccount& account = chosen_.account;
    if (p == 0 || kept_of(counters_[pair.other]) > kept_of(counters_[account.other])) {
      account.other = pair.other;
      account.clocks = pair.held.clocks;
    }
    for (ClockSet set : pair.held.clocks.sets()) {
      set.by = -set.by;
      account.sets.push_back({pair.other, set});
    }
  }

  void mark_partners(const HeldAgainst& held) {
    for (CounterTips& counter : counters_)
      counter.partnered.assign(counter.tips.fates.size(), false);
    const auto mark = [&](const PairedCounter& side, CounterTips& counter) {
      for (std::size_t i = 0; i < side.tips.size(); ++i)
        if (side.matched[i]) counter.partnered[side.tips[i]] = true;
    };
    for (const HeldAgainst::Pair& pair : held.pairs()) {
      mark(pair.held.usual, counters_[held.usual()]);
      mark(pair.held.other, counters_[pair.other]);
    }
  }

  CounterSpell judged(const HeldAgainst::Pair& pair, const PairTally& tally,
                      const Interval& over) const {
    CounterTally usual = tally.usual;
    CounterTally other = tally.other;
    usual.doubles = doubles_[chosen_.account.usual];
    other.doubles = doubles_[pair.other];
    CounterSpell spell{over,       pair.other, judge_spell(usual, other),
                       usual.tips, other.tips, tally.both};
    if (spell.verdict.why == CounterReason::undecided && expected_) {
      spell.expected_tips = expected_(over);
      spell.verdict = judge_spell(usual, other, spell.expected_tips);
    }
    return spell;
  }

  void take(HeldAgainst& held, const HeldAgainst::Spell& spell) {
    const Interval over{spell.entries.front().time, spell.entries.back().time + Duration(1)};
    std::optional<CounterSpell> believed;
    std::optional<CounterSpell> beside;  // where the usual one is taken
    for (std::size_t p = 0; p < held.pairs().size(); ++p) {
      const CounterSpell judged_pair = judged(held.pairs()[p], spell.tallies[p], over);
      if (judged_pair.verdict.other && (!believed || judged_pair.tips_other > believed->tips_other))
        believed = judged_pair;
      if (judged_pair.other == chosen_.account.other) beside = judged_pair;
    }
    chosen_.account.spells.push_back(believed ? *believed : *beside);
    leave_others(held, spell, believed ? believed->other : chosen_.account.usual);
  }

  void leave_others(HeldAgainst& held, const HeldAgainst::Spell& spell, std::size_t counter) {
    std::optional<Interval> taken;
    for (const Entry& entry : spell.entries) {
      TipFate& fate = held.fate(entry);
      if (fate != TipFate::kept) continue;
      if (entry.source.counter != counter) {
        fate = TipFate::other_counter;
        continue;
      }
      const std::size_t tip = held.side(entry).tips[entry.source.tip];
      const Instant t = counters_[counter].tips.times[tip];
      taken = Interval{taken ? taken->from : t, t + Duration(1)};
    }
    if (counter != chosen_.account.usual && taken) chosen_.elsewhere.push_back(*taken);
  }

  std::span<CounterTips> counters_;
  const ExpectedTips& expected_;
  std::vector<bool> doubles_;
  ChosenTips chosen_;
};

}  // namespace

ChosenTips choose_counters(std::span<CounterTips> counters, const ExpectedTips& expected) {
  GAUGELOOM_ASSERT(!counters.empty());
  ChosenTips chosen;
  if (counters.size() > 1) chosen = Choice(counters, expected).make();
  collect(counters, chosen);
  return chosen;
}

}  // namespace gaugeloom
