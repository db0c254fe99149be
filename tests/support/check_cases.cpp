#include "support/check_cases.hpp"

#include <algorithm>

namespace gaugeloom::support {

const SyntheticRain& healthy_network() {
  static const SyntheticRain rain = [] {
    SyntheticRainOptions options;
    options.gauges = 30;
    options.spacing_m = 8000;
    options.step = std::chrono::minutes(15);
    options.steps = 90 * 96;
    options.first_end =
        Instant{std::chrono::sys_days{std::chrono::year{2023} / 10 / 1}} + std::chrono::minutes(15);
    options.seed = 7;
    return synthetic_rain(options);
  }();
  return rain;
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
