#pragma once
// How well hidden depths were filled in, beside three plain ways: the nearest gauge, the normal
// ratio and inverse distance.

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

namespace gaugeloom {

// At one duration, over windows within the hidden gaps that were measured and filled throughout.
struct DurationScore {
  double hours = 0;
  std::size_t windows = 0;
  double fill_rmse = 0;
  double nearest_rmse = 0;
  double normal_ratio_rmse = 0;
  double inverse_rmse = 0;
  std::size_t wet_windows = 0;  // with an estimate of 1 mm or more
  double coverage = 0;          // share of them within the 90 % band of the totals
  double below = 0;             // share of them below and above it
  double above = 0;
};

struct FillScore {
  std::size_t hidden = 0;  // steps hidden and measured
  double refused = 0;      // share of them not filled
  double measured_mm = 0;  // over steps that were filled
  double bias = 0;         // filled / measured - 1
  double wet_ratio = 0;    // wet steps filled / measured
  double step_above = 0;   // where the estimate is wet: share above the 95 % bound
  double step_coverage = 0;
  std::vector<DurationScore> durations;  // step, 1 h, 6 h, 24 h as far as they are longer
};
FillScore score_fill(const Network& network, const RainRecord& truth, const FillResult& filled,
                     const std::vector<HiddenGap>& gaps);

std::string as_text(const FillScore& score);

}  // namespace gaugeloom
