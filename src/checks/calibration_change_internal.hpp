#pragma once
// The changes of calibration in a network, each blamed on one gauge.

#include <cstddef>
#include <vector>

#include "checks/calibration_series_internal.hpp"
#include "checks/score_growth_internal.hpp"

namespace gaugeloom {

struct CalibrationChange {
  RatioChange change;     // `at` indexes the series of the gauge
  std::size_t first = 0;  // the part [first, last) of the series that it was found in
  std::size_t last = 0;
  std::size_t earliest = 0;  // where it may have begun: scores within 1.92 nats of the best
  std::size_t latest = 0;
  std::size_t called = 0;  // last point of the shortest beginning of the part that tells it
  std::vector<std::size_t> witnesses;  // neighbours against which it shows, nearest first
};

struct CalibrationStudy {
  CalibrationLaw law;
  std::vector<RatioSeries> series;  // one per gauge, the changing neighbours put right
  // Per gauge, in order of time. Those that do not show against at least three neighbours, and
  // three in five of all, each by half to twice as much, are left out.
  std::vector<std::vector<CalibrationChange>> changes;
};

// Of the gauges that change, those with the highest score of their neighbourhood (ties by id) are
// put right when they speak for others, and all is looked at again, so that their neighbours are
// not called for them; at most 5 rounds.
CalibrationStudy study_calibration(const CheckContext& context);

// How the score of a change grew: at the last points of at most 60 beginnings of the series, that
// of the call among them, the best change of its shape and direction until then (0 for none). At
// the end of its part it is the score itself, as all of the record has it.
ScorePath score_path(const RatioSeries& series, const CalibrationLaw& law,
                     const CalibrationChange& change);

// The smallest fall, in percent, that would have been called four times in five had it come at the
// best time of the record; NaN where that is more than 50 %.
double smallest_step_percent(const RatioSeries& series, const CalibrationLaw& law);

}  // namespace gaugeloom
