#pragma once
// How fine the clock of a tip logger writes, and when the tips of a coarse one fell.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// A stretch of stamps [first, last) written alike. Resolution 0: finer than a second, taken as
// exact; else a second or a minute.
struct StampRun {
  std::size_t first = 0;
  std::size_t last = 0;
  std::chrono::seconds resolution{0};

  bool operator==(const StampRun&) const = default;
};

// Finds the stretches of `stamps`, which must be sorted. Together they are all of it, in order.
// Whole seconds are a coarse clock when 20 different ones follow each other, or when there are no
// others at all; whole minutes likewise, but at least 3. Our choice: one fine stamp in ten (tenths
// of a second) is a whole second by chance, and 20 in a row one time in 10^20. A logger may thus be
// replaced by a finer one within a record. Cost: one pass.
std::vector<StampRun> stamp_runs(std::span<const Instant> stamps);

// Which end of its second or minute a coarse stamp marks: cut off below, or counted and then
// written.
enum class StampEdge { start, end };

// Spreads the tips of each stamp of a coarse stretch evenly within its second or minute: the j-th
// of k (from 0) stands at (j + 1/2) / k of it. Fine stamps stay. `times` is sorted and stays so.
void spread_within_stamps(std::span<Instant> times, std::span<const StampRun> runs, StampEdge edge);

}  // namespace gaugeloom
