#pragma once
// What became of the tips of a gauge, month by month.

#include <array>
#include <vector>

#include "gaugeloom/tips/correct_gauge.hpp"

namespace gaugeloom {

// Upper bounds of the classes of intensity in mm/h; the last class has none. Slight, moderate,
// heavy and violent showers (common practice).
inline constexpr std::array<double, 3> kIntensityClassesMmH = {2, 10, 50};

struct TipMonth {
  std::chrono::year_month month;              // of UTC
  std::array<std::size_t, kTipFates> tips{};  // by fate, of all counters
  double counted_mm = 0;                      // kept tips times bucket
  double corrected_mm = 0;
  double by_pours_mm = 0;  // of corrected_mm (tips/inflow.hpp)
  // Of kept and other_counter tips, where a gauge has several counters: turns that both saw, and
  // those that one only did.
  bool compared = false;
  std::size_t matched = 0;
  std::size_t only_usual = 0;
  std::size_t only_other = 0;
  // Of corrected_mm of known intensity; all 0 where there is none.
  std::array<double, kIntensityClassesMmH.size() + 1> share{};

  std::size_t all_tips() const;
  double match_rate() const;  // matched, of all turns; NaN where there are none
};

// The months that hold a tip, by time. A tip belongs to the month of its stamp, its depth to that
// of the inflow it ends. Law (a test): the months add up to the gauge. Cost: one pass.
std::vector<TipMonth> tip_months(const CorrectedGauge& gauge);

}  // namespace gaugeloom
