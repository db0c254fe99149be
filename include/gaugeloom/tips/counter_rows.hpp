#pragma once
// What the counters of a gauge say of each other and of their clocks, for a technician.

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/tips/correct_gauge.hpp"
#include "gaugeloom/tips/tip_months.hpp"

namespace gaugeloom {

enum class CounterRowKind {
  month,  // of UTC, in which a counter was alive; the depth counts of both, whoever was believed
  spell,  // of rain that they count differently, with the reason of the choice
  clock_set,  // one of the clocks, against the other
  set_back,   // tips written after later ones: a clock that was set back, or files out of order
};

struct CounterRow {
  CounterRowKind kind = CounterRowKind::month;
  Interval over;                        // of set_back: from the first such tip to the latest before
  std::uint8_t usual = 0;               // indices in TipRecord::counters; of set_back, the counter
  std::optional<std::uint8_t> other{};  // absent where there is but one
  std::optional<CounterVerdict> verdict{};  // of a spell
  std::size_t tips_usual = 0;               // of set_back, those written late
  std::size_t tips_other = 0;
  std::size_t both = 0;  // matched
  std::size_t kept = 0;  // of a month: what counts as rain
  double expected_tips = std::numeric_limits<double>::quiet_NaN();  // where it was asked for
  // By how much the other clock is ahead of the usual one; of clock_set and set_back, by how much
  // it went forward. Absent where nothing is known.
  std::optional<Duration> ahead{};

  // both / (tips of either); NaN where there are none.
  double match_rate() const;
};

// How a month reads.
enum class CounterFinding {
  agree,      // nine in ten tips or more have a partner, and neighbours do not contradict
  differ,     // fewer have: electronics or telemetry
  both_low,   // they agree, on less than half of what neighbours lead one to expect: the funnel
  both_high,  // they agree, on more than twice of it: the bucket, or what falls into it
};
// Neighbours are heard from 50 tips on, expected or kept: our choice, some 10 mm.
CounterFinding finding_of(const CounterRow& month);

// Of a gauge with several counters its months from the first through the last that hold a tip, the
// spells they count differently, those that follow each other with one reason in one row, and the
// set clocks; of every gauge the tips set back. By time.
// Cost: linear in months and spells.
std::vector<CounterRow> counter_rows(const CorrectedGauge& gauge, std::span<const TipMonth> months,
                                     const ExpectedTips& expected);

}  // namespace gaugeloom
