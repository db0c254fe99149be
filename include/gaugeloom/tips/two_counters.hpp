#pragma once
// Two counters on one bucket: which of them is believed when.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/tips/counter_tips.hpp"

namespace gaugeloom {

struct TipSource {
  std::size_t counter = 0;  // index in the counters given
  std::size_t tip = 0;      // of its tips
};

struct ChosenTips {
  JudgedTips tips;                 // the kept ones and, as disturbances, the test tips, by time
  std::vector<TipSource> sources;  // one per entry of tips
  std::size_t usual = 0;           // the counter used unless another has more in a spell
  // Spells taken from another, from their first tip through their last.
  std::vector<Interval> elsewhere;
};

// Chooses a counter for every spell of tips, parted from the next by 6 h without a tip of either:
// the usual one, unless another has more kept tips in it, since a dead link explains the short one.
// The usual one has most tips of all; on a tie the first. A counter that, in the spells in which
// both counted, has 1.8 to 2.2 times the tips of another, of 20 or more, counts every turn twice
// and is never used. Never are two added or averaged. What is kept of the others becomes
// other_counter.
//
// Laws (each one is a test): of every spell the tips of one counter are kept; with one counter
// nothing changes.
// Requires: counters not empty. Cost: linear; a sort of the tips of several counters.
ChosenTips choose_counters(std::span<CounterTips> counters);

}  // namespace gaugeloom
