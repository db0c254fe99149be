#pragma once
// What each gauge had of each storm: its total with bounds and error, when it rained, the peaks.

#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/fill/duration_errors.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/storms/peak_depths.hpp"
#include "gaugeloom/storms/storm.hpp"

namespace gaugeloom {

struct StormGauge {
  std::size_t storm = 0;         // index in the list
  std::size_t gauge = 0;         // row in the network
  double total_mm = 0;           // NaN when any step of the storm is missing
  double low_mm = 0;             // 5 % bound; where the total is NaN, what fell at least
  double high_mm = 0;            // 95 % bound; NaN where the total is
  double gauge_error_mm = 0;     // standard error of what was measured: the instrument's
  double fill_error_mm = 0;      // of what was estimated, at the duration of all of it together
  double standard_error_mm = 0;  // of both
  double share_filled = 0;       // of the steps: estimated, or spread from a total
  double share_missing = 0;
  Quality quality = Quality::good;  // the least trusted of its steps
  std::optional<Interval> wet;      // from its first wet step to the end of its last
  PeakDepths peaks_mm{};
};

// By storm, then in the order of the network; a row for every gauge.
//
// The error of what was estimated is that of fill/reporting_totals.hpp: learned at the duration of
// the estimated steps together, never a sum of step errors. The error of what was measured is b^2/6
// and a third of the gauge's class limit (gauge_standard_error_mm). The bounds hold both: each
// reaches as far as the root of the squares of the estimate's reach and 1.645 gauge errors.
// Laws (each one is a test): a gauge that measured throughout has no fill_error_mm; low <= total <=
//   high, low >= 0; the total is the sum of the steps; the same for any number of threads.
// Cost: the steps of the storms, gauge by gauge, ten times over.
std::vector<StormGauge> storm_gauges(const Network& network, const SeriesRecord& record,
                                     const DurationErrors& errors, std::span<const Storm> storms,
                                     int threads = 0);

}  // namespace gaugeloom
