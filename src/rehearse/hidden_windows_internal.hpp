#pragma once
// The windows within hidden gaps over which sums are scored.

#include <string_view>
#include <vector>

#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

namespace gaugeloom {

struct HiddenWindows {
  std::string_view name;  // "step", "1 h", "6 h", "24 h", "storm"
  std::vector<HiddenGap> windows;
};

// Consecutive windows of a step, 1 h, 6 h, 24 h (as far as they are longer) from the beginning of
// each gap; last the parts of the storms of `known` that lie in a gap, if they are an hour or more.
std::vector<HiddenWindows> hidden_windows(const std::vector<HiddenGap>& gaps,
                                          const RainTable& known);

}  // namespace gaugeloom
