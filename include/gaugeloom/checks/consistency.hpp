#pragma once
// Storm by storm and month by month, how a gauge's total stands among those that a healthy gauge
// would have read there.

#include <cstddef>
#include <vector>

#include "gaugeloom/expect/duration_law.hpp"
#include "gaugeloom/expect/judged_windows.hpp"

namespace gaugeloom {

// One window of one gauge. Depths are over the hours at which the gauge is measured and has an
// estimate: `share_measured` of the window.
struct ConsistencyRow {
  std::size_t gauge = 0;
  WindowKind window = WindowKind::storm;  // or month
  Interval over;
  double observed_mm = 0;
  double expected_mm = 0;  // by the neighbours
  double low_mm = 0;       // 5 % of the totals of healthy gauges lie below
  double high_mm = 0;      // and 5 % above
  double p_low = 0.5;      // of so little or less, at a healthy gauge (expect/duration_law.hpp)
  double p_high = 0.5;     // of so much or more
  std::size_t neighbours = 0;
  double share_measured = 0;
  // Of anything so unusual, low or high, in the window or in a shorter one within it: twice the
  // smaller of the combined low and the combined high probabilities (expect/combined_evidence.hpp),
  // each length of window weighing the same.
  double combined_p = 1;
  WindowKind driven_by = WindowKind::storm;  // the length of window that spoke loudest
};

inline constexpr double kLeastStormMm = 1;  // mean over the gauges

// Rows by gauge, then storms, then months, in order of time. Storms of less than kLeastStormMm have
// none, nor have windows of which a gauge has nothing to show or fewer than kLeastNeighbours.
// Windows that the record cuts are judged by what is there. Shorter windows speak when 0.05 mm or
// more were expected in them, whatever was read.
// Cost: a pass over all windows; the order of the gauges and the number of threads do not matter.
std::vector<ConsistencyRow> consistency_rows(const JudgedKinds& windows, const DurationLaws& laws,
                                             int threads);

}  // namespace gaugeloom
