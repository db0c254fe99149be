#pragma once
// Fills the row of one gauge once everything is learned.

#include <span>
#include <vector>

#include "fill/learn_errors_internal.hpp"
#include "fill/learn_plan_internal.hpp"

namespace gaugeloom::fill_internal {

struct FilledRow {
  std::vector<float> depth_mm;
  std::vector<Quality> quality;
  std::vector<Origin> origin;
  std::vector<float> low_mm;
  std::vector<float> high_mm;
  std::vector<float> standard_error_mm;
  std::vector<RefusedSpan> refusals;
  std::vector<SpreadTotal> totals;
  std::vector<RecoveredWater> recovered;
  GaugeFill report;
};

// A total of this gauge and its place in RainRecord::totals.
struct GaugeTotal {
  std::size_t index = 0;
  Interval over;
  double depth_mm = 0;
};

// What is known of this gauge beside its steps.
struct GaugeEvidence {
  std::vector<GaugeTotal> totals;  // in their order
  std::vector<Interval> held;      // spells that ended in a release burst, by time
};

// `gauge` is the row in `ground` and in the result.
FilledRow fill_gauge(const Ground& ground, const Learned& learned, const LearnedErrors& errors,
                     const ScaledRain& rain, std::size_t gauge, const GaugeEvidence& evidence);

}  // namespace gaugeloom::fill_internal
