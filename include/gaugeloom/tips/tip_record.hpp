#pragma once
// The raw tips of a network: one instant per turn of a bucket, as a logger wrote them.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// The tips that one counter of one bucket wrote.
struct TipTrain {
  std::uint8_t counter = 0;    // index in TipRecord::counters
  std::vector<Instant> times;  // in the order of the file, repeated ones included
};

struct GaugeTips {
  std::vector<TipTrain> trains;  // by counter, each once; none: no tip of this gauge was read
};

struct TipRecord {
  std::vector<std::string> counters;  // names as written; one empty name where the file has none
  std::vector<GaugeTips> gauges;      // in the order of the network
};

// What became of a tip. Every tip of the input has exactly one fate.
enum class TipFate : std::uint8_t {
  kept,           // counts as rain
  bounce,         // the contact closed twice in one turn
  duplicate,      // the same instant was written twice
  test,           // made by somebody who worked at the gauge
  outside,        // before or after the time that was asked for
  other_counter,  // of the counter of a bucket that was not used
};
inline constexpr std::size_t kTipFates = 6;
std::string_view word(TipFate fate);

}  // namespace gaugeloom
