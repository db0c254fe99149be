#pragma once
// Hides measured depths of a record and scores what was filled in for them, beside three plain
// ways: the nearest gauge, the normal ratio and inverse distance.

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/fill_gaps.hpp"

namespace gaugeloom::support {

// Steps [first, last) of one gauge, hidden.
struct HiddenGap {
  std::size_t gauge = 0;
  std::size_t first = 0;
  std::size_t last = 0;
};

// `per_gauge` gaps of each gauge, of 2 h to 3 days, anywhere; overlaps of one gauge are left out.
std::vector<HiddenGap> random_gaps(const RainRecord& record, int per_gauge, std::string_view seed);
// Gaps of 6 to 24 h of every fifth gauge around each of the `storms` wettest hours of the network,
// which lie at least 24 h apart.
std::vector<HiddenGap> storm_gaps(const RainRecord& record, int storms, std::string_view seed);

RainRecord with_hidden(const RainRecord& record, const std::vector<HiddenGap>& gaps);
// good where measured, else missing
QualityTable all_good(const RainTable& depths);

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

}  // namespace gaugeloom::support
