#include "gaugeloom/rehearse/record_parts.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kDay{24};

// The first step that begins at or after `t`.
std::size_t step_from(const StepAxis& axis, Instant t) {
  if (t <= axis.begin(0)) return 0;
  const auto since = t - axis.begin(0) + axis.step() - Duration(1);
  return std::min(axis.count(), static_cast<std::size_t>(since / axis.step()));
}

double days_of(const StepAxis& axis) {
  return static_cast<double>(axis.count()) * axis.step_hours() / 24;
}

}  // namespace

int part_count(const StepAxis& axis, double days) {
  return std::clamp(static_cast<int>(std::round(days_of(axis) / days)), 2, 12);
}

std::vector<StepAxis::Range> record_parts(const StepAxis& axis, int parts) {
  const int count = std::max(1, std::min(parts, static_cast<int>(days_of(axis) / 2)));
  std::vector<StepAxis::Range> ranges;
  std::size_t first = 0;
  for (int part = 1; part <= count; ++part) {
    std::size_t last = axis.count();
    if (part < count) {
      const Instant rough = axis.begin(axis.count() * static_cast<std::size_t>(part) /
                                       static_cast<std::size_t>(count));
      last = step_from(axis, std::chrono::floor<std::chrono::days>(rough));
    }
    if (last > first) ranges.push_back({first, last});
    first = std::max(first, last);
  }
  return ranges;
}

RainRecord without_part(const RainRecord& record, StepAxis::Range scored) {
  RainRecord rest = record;
  const StepAxis& axis = record.depths.axis();
  const std::size_t first = step_from(axis, axis.begin(scored.first) - kDay);
  const std::size_t last = step_from(axis, axis.begin(scored.last) + kDay);
  for (std::size_t gauge = 0; gauge < record.depths.gauge_count(); ++gauge) {
    for (std::size_t step = first; step < last; ++step) {
      rest.depths.set_missing(gauge, step);
      if (rest.quality.steps > 0) rest.quality.at(gauge, step) = Quality::missing;
    }
  }
  return rest;
}

RainRecord part_of(const RainRecord& record, StepAxis::Range part) {
  RainRecord one;
  one.depths = slice(record.depths, part.first, part.last);
  one.temperatures = record.temperatures;
  one.visits = record.visits;
  if (record.quality.steps == 0) return one;
  const std::size_t gauges = record.depths.gauge_count();
  one.quality = QualityTable(gauges, part.last - part.first, Quality::missing);
  for (std::size_t gauge = 0; gauge < gauges; ++gauge) {
    for (std::size_t step = part.first; step < part.last; ++step) {
      one.quality.at(gauge, step - part.first) = record.quality.at(gauge, step);
    }
  }
  return one;
}

}  // namespace gaugeloom
