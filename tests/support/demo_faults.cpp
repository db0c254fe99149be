#include "support/demo_faults.hpp"

#include <algorithm>
#include <limits>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom::support {
namespace {

constexpr double kFunnelHoldsMm = 45;

// "V07" stands in row 6.
PlantedFault plant(int number, const char* finding, const char* from, const char* to, double amount,
                   const char* unit, const char* note) {
  const auto time = [](const char* text) {
    const auto parsed = parse_iso8601(text);
    if (!parsed) throw Error(ErrorCode::invalid_option, std::string("no time: ") + text);
    return parsed->utc();
  };
  return {
      static_cast<std::size_t>(number - 1), finding, {time(from), time(to)}, amount, unit, note};
}

std::span<double> part(std::vector<double>& water, const StepAxis& axis, const Interval& window) {
  const StepAxis::Range range = axis.within(window);
  return std::span(water).subspan(range.first, range.last - range.first);
}

// A shut funnel keeps what falls, up to its rim.
void block(std::span<double> water, double& held_mm) {
  for (double& depth : water) {
    held_mm = std::min(kFunnelHoldsMm, held_mm + depth);
    depth = 0;
  }
}

// What was held runs out evenly.
void release(std::span<double> water, double& held_mm) {
  for (double& depth : water) depth += held_mm / static_cast<double>(water.size());
  held_mm = 0;
}

// A narrowed outlet passes `most_mm` a step at most; the rest waits, and beyond the rim spills.
void narrow(std::span<double> water, double most_mm) {
  double held_mm = 0;
  for (double& depth : water) {
    held_mm = std::min(kFunnelHoldsMm, held_mm + depth);
    depth = std::min(held_mm, most_mm);
    held_mm -= depth;
  }
}

void spoil_water(std::vector<double>& water, const StepAxis& axis, const PlantedFault& fault,
                 double& held_mm) {
  const auto steps = part(water, axis, fault.window);
  if (fault.finding == "blocked") block(steps, held_mm);
  if (fault.finding == "release_burst") release(steps, held_mm);
  if (fault.finding == "partly_blocked") narrow(steps, fault.amount * axis.step_hours());
  if (fault.finding == "reads_low")
    for (double& depth : steps) depth *= fault.amount;
  if (fault.finding == "phantom_rain")
    for (double& depth : steps) depth += fault.amount / static_cast<double>(steps.size());
}

void spoil_record(std::vector<float>& record, const StepAxis& axis, const PlantedFault& fault) {
  const StepAxis::Range range = axis.within(fault.window);
  const auto begin = record.begin() + static_cast<long>(range.first);
  const auto end = record.begin() + static_cast<long>(range.last);
  if (fault.finding == "missing") std::fill(begin, end, std::numeric_limits<float>::quiet_NaN());
  if (fault.finding == "stuck" || fault.finding == "impossible_rate")
    std::fill(begin, end, static_cast<float>(fault.amount));
  if (fault.finding == "clock_offset") {
    const auto late =
        static_cast<long>(fault.amount * 60 / static_cast<double>(axis.step().count()));
    std::rotate(begin, end - late, end);
    std::fill(begin, begin + late, 0.0F);
  }
}

}  // namespace

std::vector<float> read_with_faults(std::vector<double> water_mm, double bucket_mm,
                                    std::size_t gauge, const StepAxis& axis,
                                    std::span<const PlantedFault> faults) {
  double held_mm = 0;
  for (const PlantedFault& fault : faults)
    if (fault.gauge == gauge) spoil_water(water_mm, axis, fault, held_mm);
  std::vector<float> record = tipped_mm(water_mm, bucket_mm);
  for (const PlantedFault& fault : faults)
    if (fault.gauge == gauge) spoil_record(record, axis, fault);
  return record;
}

std::vector<PlantedFault> planted_faults() {
  return {
      plant(7, "blocked", "2023-06-14", "2023-06-26T09:00", 0, "mm/h", "leaves in the funnel"),
      plant(7, "release_burst", "2023-06-26T09:00", "2023-06-26T10:00", kFunnelHoldsMm,
            "mm at most", "the funnel is cleaned and what it held runs through"),
      plant(12, "partly_blocked", "2023-06-15", "2023-07-01", 0.5, "mm/h",
            "the outlet passes this much"),
      plant(18, "clock_offset", "2023-06-05", "2023-07-10", 60, "min late",
            "the clock was set to summer time"),
      plant(23, "reads_low", "2023-06-19", "2023-07-10", 0.35, "times the rain",
            "the funnel is tilted"),
      plant(29, "phantom_rain", "2023-07-05T10:00", "2023-07-05T10:40", 12, "mm",
            "a bottle poured through the gauge on a dry day"),
      plant(31, "missing", "2023-06-23T12:00", "2023-06-27", 0, "mm", "the telemetry was down"),
      plant(35, "stuck", "2023-06-16T02:00", "2023-06-16T10:00", 0.4, "mm per step",
            "the logger repeated one value"),
      plant(38, "impossible_rate", "2023-06-22T15:00", "2023-06-22T15:10", 236.8, "mm in 10 min",
            "electrical noise on the line"),
  };
}

}  // namespace gaugeloom::support
