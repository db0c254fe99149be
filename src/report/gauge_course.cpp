#include "report/gauge_course_internal.hpp"

#include <algorithm>
#include <array>

namespace gaugeloom {
namespace {

std::chrono::sys_days day_of(const StepAxis& axis, std::size_t step,
                             std::chrono::minutes day_start) {
  return std::chrono::floor<std::chrono::days>(axis.end(step) - day_start - Duration{1});
}

// Spans of steps with the same `key` of their day; `begin_of` a key is the first day of its span.
template <typename KeyOf, typename BeginOf>
std::vector<CourseSpan> spans_by(const StepAxis& axis, std::chrono::minutes day_start,
                                 const KeyOf& key_of, const BeginOf& begin_of) {
  std::vector<CourseSpan> spans;
  for (std::size_t step = 0; step < axis.count(); ++step) {
    const auto key = key_of(day_of(axis, step, day_start));
    const Instant begin = Instant{begin_of(key)} + day_start;
    if (spans.empty() || spans.back().begin != begin) spans.push_back({begin, {step, step}});
    spans.back().steps.last = step + 1;
  }
  return spans;
}

}  // namespace

CourseDays course_days(const StepAxis& axis, std::chrono::minutes day_start, std::size_t most) {
  CourseDays all;
  if (axis.count() == 0) return all;
  const std::chrono::sys_days first = day_of(axis, 0, day_start);
  const auto days =
      static_cast<std::size_t>((day_of(axis, axis.count() - 1, day_start) - first).count()) + 1;
  all.length = std::chrono::days{(days + most - 1) / most};
  all.spans = spans_by(
      axis, day_start, [&](std::chrono::sys_days day) { return (day - first) / all.length; },
      [&](auto key) { return first + key * all.length; });
  return all;
}

std::vector<CourseSpan> course_months(const StepAxis& axis, std::chrono::minutes day_start,
                                      std::size_t most) {
  std::vector<CourseSpan> months = spans_by(
      axis, day_start,
      [](std::chrono::sys_days day) {
        const std::chrono::year_month_day date{day};
        return date.year() / date.month();
      },
      [](std::chrono::year_month month) { return std::chrono::sys_days{month / 1}; });
  if (months.size() > most)
    months.erase(months.begin(), months.end() - static_cast<std::ptrdiff_t>(most));
  return months;
}

std::string quality_letters(const QualityTable& quality, std::size_t gauge,
                            std::span<const CourseSpan> spans) {
  constexpr std::array<std::pair<Quality, char>, 6> kWorstFirst = {{{Quality::missing, 'm'},
                                                                    {Quality::poor, 'p'},
                                                                    {Quality::suspect, 's'},
                                                                    {Quality::estimate, 'e'},
                                                                    {Quality::unchecked, 'u'},
                                                                    {Quality::good, 'g'}}};
  std::string letters;
  for (const CourseSpan& span : spans) {
    std::array<std::size_t, kWorstFirst.size()> counts{};
    for (std::size_t step = span.steps.first; step < span.steps.last; ++step)
      ++counts[static_cast<std::size_t>(quality.at(gauge, step))];
    const auto worst = std::ranges::find_if(kWorstFirst, [&](const auto& one) {
      return 24 * counts[static_cast<std::size_t>(one.first)] >= span.steps.last - span.steps.first;
    });
    letters += worst->second;  // one of six has a sixth or more
  }
  return letters;
}

std::vector<GaugeDoubleMass> thinned(std::span<const GaugeDoubleMass> points, std::size_t most) {
  if (points.size() <= most) return {points.begin(), points.end()};
  std::vector<GaugeDoubleMass> kept;
  for (std::size_t i = 0; i < most; ++i)
    kept.push_back(points[i * (points.size() - 1) / (most - 1)]);
  return kept;
}

}  // namespace gaugeloom
