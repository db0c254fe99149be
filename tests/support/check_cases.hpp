#pragma once
// Small networks with planted faults for the tests of the checks.

#include <string_view>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom::support {

// 30 gauges at 8 km, 90 days of 15-minute steps from 1 October 2023; healthy. Made once.
const SyntheticRain& healthy_network();

// Steps of that table from the beginning of day `day` (0 is the first).
inline std::size_t day_step(std::size_t day) { return day * 96; }

// 30 gauges at 8 km, hours of a year from 1 October 2022; healthy. Made once.
const SyntheticRain& healthy_year();
// The same for two years from 1 October 2021.
const SyntheticRain& healthy_years();
// That table of one year with the depths of one gauge times 1 + change from a day on; over
// `ramp_days` the change comes in a straight line of time. In whole tips, as its bucket would
// count.
RainTable changed_year(std::size_t gauge, double change, std::size_t from_day,
                       double ramp_days = 0);
CheckResult checked_year(const RainTable& table);

// The days from 20 to 85 of a gauge of that table through an outlet that passes `cap_mm_h` at most,
// in whole tips: nothing is lost, much comes late.
void pass_outlet(RainTable& table, std::size_t gauge, double cap_mm_h);

// The result of checking `table` on the healthy network's gauges.
CheckResult checked(const RainTable& table, const CheckOptions& options = {});
// The same for the healthy table itself; made once.
const CheckResult& checked_healthy();

// The findings of one gauge and kind, in order of time.
std::vector<Finding> findings_of(const CheckResult& result, std::size_t gauge, FindingKind kind);
// How many findings other gauges have.
std::size_t findings_elsewhere(const CheckResult& result, std::size_t gauge);

}  // namespace gaugeloom::support
