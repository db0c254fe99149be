#include "gaugeloom/fill/reporting_totals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <span>
#include <utility>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/rain/storm_spells.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

using std::chrono::days;
using std::chrono::floor;
using std::chrono::months;
using std::chrono::years;

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// The window of this length that a step ending at `end` belongs to.
Interval window_of(Instant end, std::chrono::seconds length, std::chrono::minutes day_start) {
  const auto day = floor<days>(end - day_start - Duration{1});
  const Instant begin = Instant{day} + day_start;
  const Instant from = begin + length * ((end - Duration{1} - begin) / length);
  return {from, from + length};
}

// The period of this kind that a step ending at `end` belongs to.
Interval period_of(Instant end, ReportingPeriod period, std::chrono::minutes day_start) {
  // The last moment of the step decides: its end belongs to (from, to].
  const auto day = floor<days>(end - day_start - Duration{1});
  const std::chrono::year_month_day date{day};
  using std::chrono::sys_days;
  sys_days from = day;
  sys_days to = day + days{1};
  if (period == ReportingPeriod::month) {
    const auto month = date.year() / date.month();
    from = sys_days{month / 1};
    to = sys_days{(month + months{1}) / 1};
  } else if (period == ReportingPeriod::year) {
    from = sys_days{date.year() / 1 / 1};
    to = sys_days{(date.year() + years{1}) / 1 / 1};
  }
  return {Instant{from} + day_start, Instant{to} + day_start};
}

using Steps = StepAxis::Range;

struct Parts {
  double measured_mm = 0;   // measured, or spread totals wholly inside
  double estimated_mm = 0;  // what carries an error
  double known_low_mm = 0;  // sum of step bounds: what fell at least, when the total is unknown
  std::size_t estimated_steps = 0;
  std::size_t uncertain_steps = 0;
  std::size_t missing_steps = 0;
};

bool is_spread(const SeriesRecord& record, std::size_t gauge, std::size_t step) {
  return step < record.observed.step_count() &&
         record.origin[record.index(gauge, step)] == Origin::spread_total;
}

// Runs of spread steps that touch the edge of the period and go on beyond it are uncertain.
bool is_cut(const SeriesRecord& record, std::size_t gauge, std::size_t step, Steps steps) {
  if (steps.first > 0 && is_spread(record, gauge, steps.first - 1)) {
    std::size_t s = steps.first;
    while (s < steps.last && is_spread(record, gauge, s)) ++s;
    if (step < s) return true;
  }
  if (is_spread(record, gauge, steps.last)) {
    std::size_t s = steps.last;
    while (s > steps.first && is_spread(record, gauge, s - 1)) --s;
    if (step >= s) return true;
  }
  return false;
}

Parts parts_of(const SeriesRecord& record, std::size_t gauge, Steps steps) {
  Parts parts;
  for (std::size_t s = steps.first; s < steps.last; ++s) {
    if (!record.depth.is_measured(gauge, s)) {
      ++parts.missing_steps;
      continue;
    }
    const std::size_t i = record.index(gauge, s);
    const auto depth_mm = static_cast<double>(record.depth.depth_mm(gauge, s));
    if (record.origin[i] == Origin::measured || record.origin[i] == Origin::other_counter) {
      parts.measured_mm += depth_mm;
      parts.known_low_mm += depth_mm;
      continue;
    }
    ++parts.estimated_steps;
    parts.known_low_mm += static_cast<double>(record.low_mm[i]);
    if (record.origin[i] == Origin::spread_total && !is_cut(record, gauge, s, steps)) {
      parts.measured_mm += depth_mm;
      continue;
    }
    ++parts.uncertain_steps;
    parts.estimated_mm += depth_mm;
  }
  return parts;
}

void set_bounds(ReportingTotal& total, const Parts& parts, const DurationErrors& errors,
                double step_hours) {
  total.depth_mm = parts.measured_mm + parts.estimated_mm;
  total.low_mm = total.high_mm = total.depth_mm;
  if (parts.uncertain_steps == 0) return;
  const DepthError error =
      errors.at(step_hours * static_cast<double>(parts.uncertain_steps), parts.estimated_mm);
  total.low_mm = parts.measured_mm + std::min(error.low_mm, parts.estimated_mm);
  total.high_mm = parts.measured_mm + std::max(error.high_mm, parts.estimated_mm);
  total.standard_error_mm = error.standard_error_mm;
  if (errors.durations.empty()) total.low_mm = total.high_mm = total.standard_error_mm = kNan;
}

ReportingTotal total_of(const SeriesRecord& record, const DurationErrors& errors, std::size_t gauge,
                        ReportingPeriod period, const Interval& over, Steps steps) {
  ReportingTotal total{gauge, period, over, kNan, kNan, kNan};
  const Parts parts = parts_of(record, gauge, steps);
  total.measured_mm = parts.measured_mm;
  const auto step = std::chrono::duration_cast<Duration>(record.observed.axis().step());
  const double expected =
      static_cast<double>(over.length().count()) / static_cast<double>(step.count());
  const auto inside = static_cast<double>(steps.last - steps.first);
  const double all = std::max(expected, inside);
  // Half a step of slack: a period need not be a whole number of steps.
  const double outside = expected - inside > 0.5 ? expected - inside : 0;
  total.share_missing = (static_cast<double>(parts.missing_steps) + outside) / all;
  total.share_estimated = static_cast<double>(parts.estimated_steps) / all;
  if (parts.missing_steps == 0 && outside <= 0)
    set_bounds(total, parts, errors, record.observed.axis().step_hours());
  else {
    total.low_mm = parts.known_low_mm;
    total.standard_error_mm = kNan;
  }
  return total;
}

// All totals of one record, period by period.
class Totals {
 public:
  Totals(const SeriesRecord& record, const DurationErrors& errors)
      : record_(record), errors_(errors) {}

  // Every step belongs to one period, which `over_of` tells from the end of the step.
  template <typename OverOf>
  void add(std::size_t gauge, ReportingPeriod period, const OverOf& over_of) {
    const StepAxis& axis = record_.observed.axis();
    std::size_t first = 0;
    while (first < axis.count()) {
      const Interval over = over_of(axis.end(first));
      std::size_t last = first;
      while (last < axis.count() && axis.end(last) <= over.to) ++last;
      totals_.push_back(total_of(record_, errors_, gauge, period, over, {first, last}));
      first = last;
    }
  }
  void add_storms(std::size_t gauge, std::span<const StormSpell> storms) {
    for (const StormSpell& storm : storms)
      totals_.push_back(total_over(record_, errors_, gauge, storm.steps));
  }
  std::vector<ReportingTotal> taken() { return std::move(totals_); }

 private:
  const SeriesRecord& record_;
  const DurationErrors& errors_;
  std::vector<ReportingTotal> totals_;
};

void refuse_odd_windows(const ReportingOptions& options, const StepAxis& axis) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  for (const std::chrono::seconds window : options.windows)
    if (!axis.steps_in(window))
      throw Error(ErrorCode::invalid_option,
                  fmt::format("totals of {} cannot be made from steps of {}; ask for a multiple",
                              format_duration(window), format_duration(axis.step())));
}

}  // namespace

std::optional<std::string> ReportingOptions::problem() const {
  if (day_start < std::chrono::minutes{0} || day_start >= std::chrono::hours{24})
    return "the rain day must start between 00:00 and 23:59";
  for (const std::chrono::seconds window : windows)
    if (window <= std::chrono::seconds{0} ||
        std::chrono::hours{24} % window != std::chrono::seconds{0})
      return "a day must be a whole number of windows; ask for 1h, 2h, 3h, 6h, 12h or the like";
  return std::nullopt;
}

std::vector<ReportingTotal> reporting_totals(const SeriesRecord& record,
                                             const DurationErrors& errors,
                                             const ReportingOptions& options) {
  refuse_odd_windows(options, record.observed.axis());
  std::vector<StormSpell> storms;
  if (options.storms) storms = storm_spells(measured_depths(record));
  Totals totals(record, errors);
  for (std::size_t gauge = 0; gauge < record.observed.gauge_count(); ++gauge) {
    for (const std::chrono::seconds window : options.windows)
      totals.add(gauge, ReportingPeriod::window,
                 [&](Instant end) { return window_of(end, window, options.day_start); });
    totals.add_storms(gauge, storms);
    for (const auto period : {ReportingPeriod::day, ReportingPeriod::month, ReportingPeriod::year})
      totals.add(gauge, period,
                 [&](Instant end) { return period_of(end, period, options.day_start); });
  }
  return totals.taken();
}

ReportingTotal total_over(const SeriesRecord& record, const DurationErrors& errors,
                          std::size_t gauge, StepAxis::Range steps) {
  const StepAxis& axis = record.observed.axis();
  return total_of(record, errors, gauge, ReportingPeriod::storm,
                  {axis.begin(steps.first), axis.end(steps.last - 1)}, steps);
}

}  // namespace gaugeloom
