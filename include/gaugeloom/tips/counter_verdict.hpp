#pragma once
// Which of two counters of one bucket is believed over a spell of rain, and why.

#include <cstddef>
#include <limits>
#include <string_view>

namespace gaugeloom {

enum class CounterReason {
  agree,         // they count the same
  dead_link,     // one was silent while the other tipped on and on
  counts_twice,  // one counts every turn twice
  neighbours,    // neighbouring gauges are nearer to it
  undecided,     // nothing tells: the usual one
};
std::string_view word(CounterReason reason);

// A row of tips of one counter without one of the other between that means a dead link (our choice:
// single turns are missed by worn contacts, five in a row by no contact).
inline constexpr std::size_t kDeadRow = 5;

// What one counter has in a spell.
struct CounterTally {
  std::size_t tips = 0;
  std::size_t alone = 0;         // without a partner
  std::size_t in_pairs = 0;      // of them, in rows of two or more
  std::size_t in_dead_rows = 0;  // of them, in rows of kDeadRow or more
  bool doubles = false;          // counts every turn twice, by the whole record
};

struct CounterVerdict {
  bool other = false;  // the usual one is not believed
  CounterReason why = CounterReason::agree;

  bool operator==(const CounterVerdict&) const = default;
};

// Whether `tips` are 1.8 to 2.2 times the tips of the other counter, of which there are 20 or more.
bool is_twice(std::size_t tips, std::size_t other);

// The first of these that holds:
//   a counter that doubles by the whole record is not believed beside one that does not;
//   as many tips: they agree, and the usual one is taken;
//   at least half of what the longer one has more stands in dead rows: it is believed;
//   tips that differ by at most two or 5 %: they agree (our choice: neighbours cannot tell less);
//   the longer one has about twice the tips, most of them alternately with and without a partner:
//     it counts twice here, and the short one is believed;
//   `expected_tips`, what neighbours lead one to expect, is within a factor of 2 of one of them and
//     1.25 times as far from the other, by ratio: the nearer one (our choice);
//   else the usual one.
//   expected_tips   NaN where no neighbours are at hand
// Law (a test): swapping the two changes nothing but for ties.
CounterVerdict judge_spell(const CounterTally& usual, const CounterTally& other,
                           double expected_tips = std::numeric_limits<double>::quiet_NaN());

}  // namespace gaugeloom
