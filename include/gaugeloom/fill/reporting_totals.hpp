#pragma once
// Rain per gauge and day, month and year, with bounds learned at those durations.

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/duration_errors.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

enum class ReportingPeriod : std::uint8_t { window, storm, day, month, year };
std::string_view word(ReportingPeriod period);

struct ReportingOptions {
  std::chrono::minutes day_start{0};  // of the rain day, after midnight UTC; within [0, 24 h)
  std::vector<std::chrono::seconds> windows;  // each a whole part of a day, or a day
  bool storms = false;                        // the spells of rain over the network

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct ReportingTotal {
  std::size_t gauge = 0;
  ReportingPeriod period = ReportingPeriod::day;
  Interval over;             // [from, to); a step belongs to it when its end lies in (from, to]
  double depth_mm = 0;       // NaN when any step of the period is missing or outside the record
  double low_mm = 0;         // 5 % bound; where depth is NaN, what is known to have fallen at least
  double high_mm = 0;        // 95 % bound; NaN where depth is
  double share_missing = 0;  // of the steps of the period; outside the record counts as missing
  double share_estimated = 0;    // estimated from neighbours or spread from a total
  double measured_mm = 0;        // of what is known of the depth: carries no error of estimation
  double standard_error_mm = 0;  // of what was estimated; NaN where the bounds are
};

// Totals by gauge, then period (the windows as asked for, storms, days, months, years), then time;
// every period that holds a step of the record. Windows and days begin at day_start, months at
// that time of their first day, years at that of the first of January. Storms are those of
// rain/storm_spells.hpp, of the series as filled.
//
// A total that is wholly measured has equal bounds. Steps estimated from neighbours enter with the
// error of that many hours together (`errors`), never with the sum of their step errors. Steps of a
// spread total count as estimated in the share; a run of them that lies within the period carries
// no error, since its sum was measured, and one that the period cuts carries that of estimates.
// Where `errors` is empty and a step was estimated, the bounds are NaN.
//
// Throws: Error{invalid_option} if options.problem() has one, or a window is no whole number of
//         steps.
// Cost:   one pass per kind of period.
std::vector<ReportingTotal> reporting_totals(const SeriesRecord& record,
                                             const DurationErrors& errors,
                                             const ReportingOptions& options = {});

// The total of one gauge over steps of the record, with the same rules; its period is `storm`.
// Requires: steps.first < steps.last <= the steps of the record.
ReportingTotal total_over(const SeriesRecord& record, const DurationErrors& errors,
                          std::size_t gauge, StepAxis::Range steps);

}  // namespace gaugeloom
