#pragma once
// Two counters of one bucket held against each other, tip by tip.

#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/tips/clock_map.hpp"
#include "gaugeloom/tips/counter_tips.hpp"

namespace gaugeloom {

// The kept and test tips of one counter, by time.
struct PairedCounter {
  std::vector<std::size_t> tips;    // index in its JudgedTips
  std::vector<TipCell> cells;       // on its own clock
  std::vector<Instant> times;       // on the clock of the usual counter
  std::vector<std::uint8_t> alone;  // 0: matched, or a test tip; else the length of the row of kept
                                    // tips without a partner that it belongs to, 255 at most; a row
                                    // ends at any tip of the other counter or that has a partner
  std::vector<bool> matched;
};

struct CounterPair {
  PairedCounter usual;
  PairedCounter other;
  ClockMap clocks;  // from the other onto the usual
};

// Maps their clocks (tips/clock_map.hpp) and matches (tips/tip_matching.hpp). `alone` is not
// filled. Law (a test): as many are matched on one side as on the other. Cost: linear.
CounterPair pair_counters(const CounterTips& usual, const CounterTips& other);

// Marks as bounce the kept tips of either that have no partner, are not of a coarse stamp, and lie
// less than 0.75 s from one of their counter that has one.
void mark_slow_bounce(const CounterPair& pair, CounterTips& usual, CounterTips& other);

// Fills `alone` of both sides.
void mark_rows(CounterPair& pair, const CounterTips& usual, const CounterTips& other);

}  // namespace gaugeloom
