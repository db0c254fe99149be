#pragma once
// What was learned, as plain numbers under stable names: to be written down after one check and
// used, frozen, in another of the same network.

#include <chrono>
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "gaugeloom/checks/learned_nulls.hpp"
#include "gaugeloom/expect/law_values.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

struct NullValues {
  std::chrono::seconds step{0};     // of the record it was learned from
  std::vector<std::string> gauges;  // their ids, in the order of every list of gauges
  // "site_ratios", "misses", "daily_ratios", "hours"; "windows_1h" and so on by kind of window.
  std::map<std::string, LawValues> laws;
  std::vector<LearnedThreshold> thresholds;  // in the order of the checks
};

// Requires: `nulls` are of `network`.
NullValues null_values(const LearnedNulls& nulls, const Network& network,
                       std::chrono::seconds step);

struct MatchedNulls {
  LearnedNulls nulls;        // in the order of the network they were matched to
  std::size_t unknown = 0;   // gauges of the network of which nothing was learned: like any other
  std::size_t left_out = 0;  // gauges of the values that are not in the network
};

// The nulls for a network whose gauges are found by their ids.
// Law: matched to the network it came from, what null_values() gave comes back bit for bit.
// Throws: Error{inconsistent_input} when the step is another, no gauge is known, an id stands
//         twice, a list has not one number per gauge, a law or the threshold of a check is not
//         there, or a number is beyond what a law can hold.
MatchedNulls matched_nulls(const NullValues& values, const Network& network,
                           std::chrono::seconds step);

}  // namespace gaugeloom
