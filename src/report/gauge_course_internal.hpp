#pragma once
// How a gauge went through the record, thinned for display: the quality of its days, the totals of
// its months, its double-mass curve. Internal.

#include <chrono>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/fill/reporting_totals.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// Steps of the record that belong together: a step belongs to the day of its last moment.
struct CourseSpan {
  Instant begin;  // of the calendar, which may lie before the record
  StepAxis::Range steps;
};

// Whole days from `day_start`, as many to a span as keep their number at `most`; without gaps.
struct CourseDays {
  std::chrono::days length{1};
  std::vector<CourseSpan> spans;
};
CourseDays course_days(const StepAxis& axis, std::chrono::minutes day_start, std::size_t most);

// The last `most` months that have a step of the record. The first and the last of a record hold
// what of them lies in it.
std::vector<CourseSpan> course_months(const StepAxis& axis, std::chrono::minutes day_start,
                                      std::size_t most);

// One letter per span: the worst quality that at least a 24th of its steps have, in the order
// (m)issing, (p)oor, (s)uspect, (e)stimate, (u)nchecked, (g)ood.
std::string quality_letters(const QualityTable& quality, std::size_t gauge,
                            std::span<const CourseSpan> spans);

// Of the points of one gauge at most `most`, evenly, with the first and the last.
std::vector<GaugeDoubleMass> thinned(std::span<const GaugeDoubleMass> points, std::size_t most);

}  // namespace gaugeloom
