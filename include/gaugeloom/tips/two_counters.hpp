#pragma once
// Two counters on one bucket: which of them is believed when, and why.

#include <cstddef>
#include <functional>
#include <limits>
#include <span>
#include <vector>

#include "gaugeloom/tips/clock_map.hpp"
#include "gaugeloom/tips/counter_tips.hpp"
#include "gaugeloom/tips/counter_verdict.hpp"

namespace gaugeloom {

struct TipSource {
  std::size_t counter = 0;  // index in the counters given
  std::size_t tip = 0;      // of its tips
};

// A spell of rain, from its first tip of either counter through its last, on the usual clock.
struct CounterSpell {
  Interval over;
  std::size_t other = 0;  // the counter that the usual one was held against
  CounterVerdict verdict;
  std::size_t tips_usual = 0;
  std::size_t tips_other = 0;
  std::size_t both = 0;  // of them, matched with each other
  double expected_tips = std::numeric_limits<double>::quiet_NaN();  // by neighbours
};

// A clock that was set, seen by the other counter.
struct CounterClockSet {
  std::size_t other = 0;
  ClockSet set;  // by how much the other clock went forward against the usual one
};

// What the counters of a gauge say of each other; empty where there is but one.
struct CounterAccount {
  std::size_t usual = 0;  // the counter used unless another is believed in a spell
  std::size_t other = 0;  // the one of the rest with most tips
  ClockMap clocks;        // from the clock of `other` onto the usual one
  std::vector<CounterSpell> spells;
  std::vector<CounterClockSet> sets;
};

struct ChosenTips {
  JudgedTips tips;                 // the kept ones and, as disturbances, the test tips, by time
  std::vector<TipSource> sources;  // one per entry of tips
  // Spells taken from another than the usual one, from its first tip through its last.
  std::vector<Interval> elsewhere;
  CounterAccount account;
};

// The tips that neighbours lead one to expect in a time; NaN: none are at hand.
using ExpectedTips = std::function<double(const Interval&)>;

// Chooses a counter for every spell of tips, parted from the next by 6 h without a tip of any. The
// usual one is that with most kept tips of all; on a tie the first. A counter that, in the spells
// in which both counted, has 1.8 to 2.2 times the tips of another, of 20 or more, counts every turn
// twice, is not the usual one, and is never believed beside one that does not.
//
// Every other counter is held against the usual one: their clocks are mapped (tips/clock_map.hpp),
// kept and test tips matched (tips/tip_matching.hpp), and each spell is judged
// (tips/counter_verdict.hpp). A kept tip without a partner less than 0.75 s from one of the same
// counter that has one is bounce, where stamps are fine (our choice: 960 mm/h of a bucket of 0.2
// mm, which the other counter would have seen too). Never are two added or averaged; where several
// others are believed, the one with most tips is. What is kept of those not believed becomes
// other_counter. Times stay those of the counter that is taken.
//
// Fills `partnered` of the counters where there are several.
// Laws (each one is a test): (1) of every spell the kept tips of one counter are taken; (2) with
//   one counter nothing changes; (3) every tip has one fate as before; (4) the names of the
//   counters matter for ties alone.
// Requires: counters not empty. Cost: linear; see tips/clock_map.hpp for counters that never agree.
ChosenTips choose_counters(std::span<CounterTips> counters, const ExpectedTips& expected = {});

}  // namespace gaugeloom
