#include "support/check_cases.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/expect/funnel_store.hpp"

namespace gaugeloom::support {

namespace {

// 30 gauges at 8 km from 1 October.
SyntheticRain thirty_gauges(int year, std::chrono::seconds step, std::size_t steps,
                            std::uint64_t seed) {
  SyntheticRainOptions options;
  options.gauges = 30;
  options.spacing_m = 8000;
  options.step = step;
  options.steps = steps;
  options.first_end = Instant{std::chrono::sys_days{std::chrono::year{year} / 10 / 1}} + step;
  options.seed = seed;
  return synthetic_rain(options);
}

}  // namespace

const SyntheticRain& healthy_network() {
  static const SyntheticRain rain = thirty_gauges(2023, std::chrono::minutes(15), 90 * 96, 7);
  return rain;
}

const SyntheticRain& healthy_year() {
  static const SyntheticRain rain = thirty_gauges(2022, std::chrono::hours(1), 365 * 24, 11);
  return rain;
}

const SyntheticRain& healthy_years() {
  static const SyntheticRain rain = thirty_gauges(2021, std::chrono::hours(1), 730 * 24, 13);
  return rain;
}

RainTable changed_year(std::size_t gauge, double change, std::size_t from_day, double ramp_days) {
  RainTable table = healthy_year().table;
  std::vector<double> caught;
  const std::size_t first = from_day * 24;
  for (std::size_t i = first; i < table.step_count(); ++i) {
    const double since = static_cast<double>(i - first) / 24;
    const double share = ramp_days > 0 ? std::min(1.0, since / ramp_days) : 1;
    caught.push_back((1 + change * share) * table.depth_mm(gauge, i));
  }
  const auto counted = tipped_mm(caught, 0.2);
  for (std::size_t i = 0; i < counted.size(); ++i) table.set(gauge, first + i, counted[i]);
  return table;
}

CheckResult checked_year(const RainTable& table) {
  RainRecord record;
  record.depths = table;
  return check_network(healthy_year().network, record);
}

void pass_outlet(RainTable& table, std::size_t gauge, double cap_mm_h) {
  FunnelStore funnel({.cap_mm_h = cap_mm_h, .drain_h = 0.1});
  double water = 0;
  for (std::size_t i = day_step(20); i < day_step(85); ++i) {
    water += funnel.pass(table.depth_mm(gauge, i), 0.25);
    const double tips = std::floor(water / 0.2 + 1e-6);
    water -= 0.2 * tips;
    table.set(gauge, i, static_cast<float>(0.2 * tips));
  }
}

CheckResult checked(const RainTable& table, const CheckOptions& options) {
  RainRecord record;
  record.depths = table;
  return check_network(healthy_network().network, record, options);
}

const CheckResult& checked_healthy() {
  static const CheckResult result = checked(healthy_network().table);
  return result;
}

std::vector<Finding> findings_of(const CheckResult& result, std::size_t gauge, FindingKind kind) {
  std::vector<Finding> found;
  for (const Finding& f : result.findings) {
    if (f.gauge == gauge && f.kind == kind) found.push_back(f);
  }
  return found;
}

std::size_t findings_elsewhere(const CheckResult& result, std::size_t gauge) {
  return static_cast<std::size_t>(
      std::count_if(result.findings.begin(), result.findings.end(),
                    [&](const Finding& f) { return f.gauge != gauge; }));
}

}  // namespace gaugeloom::support
