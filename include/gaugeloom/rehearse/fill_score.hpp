#pragma once
// How well hidden depths were filled in, beside three plain ways: the nearest gauge, the normal
// ratio and inverse distance.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"
#include "gaugeloom/rehearse/step_pit.hpp"

namespace gaugeloom {

// Errors of one way over the windows: root mean square, and mean absolute error. The latter is what
// the CRPS of a way comes to that names a depth and no band.
struct WayError {
  double rmse_mm = 0;
  double mae_mm = 0;
};

// How often the 90 % band of the totals (FillResult::errors) held; NaN without windows.
struct BandScore {
  std::size_t windows = 0;
  double coverage = 0;
  double below = 0;  // share of them below the band
  double above = 0;  // and above it
};

// Sums over one kind of window within the hidden gaps, those that were measured and filled
// throughout and that every plain way can fill.
struct WindowScore {
  std::string_view window;  // "step", "1 h", "6 h", "24 h", "storm"
  double hours = 0;         // of one window; of storms, the mean
  std::size_t windows = 0;
  WayError fill;
  WayError nearest;
  WayError normal_ratio;
  WayError inverse;
  double crps_mm = 0;  // of the fill, by the law that its band stands for (band_law.hpp)
  BandScore wet;       // windows with an estimate of 1 mm or more
  BandScore heavy;     // the tenth of those, rounded up, with the largest estimates: by what was
                       // measured, the bands would be too low by the choice alone
};

struct FillScore {
  std::size_t hidden = 0;  // steps hidden and measured
  double refused = 0;      // share of them not filled
  double measured_mm = 0;  // over steps that were filled
  double bias = 0;         // filled / measured - 1
  double bias_error = 0;   // its standard error, the days of the network taken as independent
  double wet_ratio = 0;    // wet steps filled / measured
  double step_above = 0;   // where the estimate is wet: share above the 95 % bound
  double step_coverage = 0;
  StepPit pit;                       // of all steps
  StepPit wet_pit;                   // of those with an estimate above 0
  std::vector<WindowScore> windows;  // step, 1 h, 6 h, 24 h as far as they are longer; storm last
};

// Storms are found on what was left to see (storm_spells.hpp). A storm counts with the part of it
// that lies in a gap, if that is an hour or more: this part is what is estimated of its total.
// Requires: `filled` comes from `truth` with the gaps hidden.
FillScore score_fill(const Network& network, const RainRecord& truth, const FillResult& filled,
                     const std::vector<HiddenGap>& gaps);

// Lines for people, each ended.
std::string as_text(const FillScore& score);

}  // namespace gaugeloom
