#pragma once
// What calibration_step and calibration_drift look at: the judged days of every gauge as points of
// a series, and the levels that a change in them must reach.

#include <cstddef>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/expect/ratio_break.hpp"
#include "gaugeloom/expect/ratio_law.hpp"

namespace gaugeloom {

// The judged days of a gauge: accepted, whole, at least 1 mm expected, three neighbours live.
// Values are log ratios less what the law expects, weights by the law. `day` of a point is the
// block of context.days.
using RatioSeries = std::vector<RatioPoint>;

struct CalibrationLaw {
  RatioLaw ratios;
  double season_variance = 0;  // of what a site does differently by the season
  LearnedThreshold step;       // its scales: the coefficients of `ratios`, then season_variance
  LearnedThreshold drift;

  // Those for one series: the season's variance is the network's or, when it is the larger, what
  // comes back year after year in the series itself.
  ChangeOptions options(std::span<const RatioPoint> series) const;
  const LearnedThreshold& level(ChangeShape shape) const;
};

// Series of all gauges, the neighbours speaking as in `speaking`.
std::vector<RatioSeries> calibration_series(const CheckContext& context, const BlockSums& speaking,
                                            const RatioLaw& law);
// Each value within 2.5 standard deviations of the median of the 21 days around, so that no single
// day decides; weights as the noise of the series itself has them.
RatioSeries steadied(std::span<const RatioPoint> series);

// Learned from the record, or as it was frozen.
//
// Levels: series with clear changes taken out and their days put in another order within the season
// pass them as often as the dial allows; raised by 15 %, or by the ratio of the medians of the
// network's own scores and the mixed ones when that is more (genomic control, B. Devlin and K.
// Roeder, Biometrics 55, 1999), as sites wander more slowly than mixing tells.
CalibrationLaw calibration_law(const CheckContext& context);

}  // namespace gaugeloom
