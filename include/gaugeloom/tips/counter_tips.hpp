#pragma once
// All tips of one counter and what they are worth.

#include <cstdint>
#include <vector>

#include "gaugeloom/tips/judged_tips.hpp"

namespace gaugeloom {

// The depths have one entry per tip.
struct CounterTips {
  std::uint8_t counter = 0;  // index in TipRecord::counters
  JudgedTips tips;
  std::vector<float> counted_mm;    // the bucket, whatever the fate
  std::vector<float> corrected_mm;  // 0 unless kept
  // Whether another counter of the bucket saw the turn too; empty where there is no other.
  std::vector<bool> partnered{};
};

}  // namespace gaugeloom
