// Measures calibration_step and calibration_drift on synthetic networks: false calls per gauge-year
// on healthy gauges, and how many planted steps and ramps are found and when. Not a test: it
// prints. Usage:
//   calibration_synthetic [networks] [gauges] [spacing_m] [days] [first_seed] [healthy]
// With the word `healthy` nothing is planted.

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "support/synthetic_rain.hpp"

using namespace gaugeloom;

namespace {

constexpr std::size_t kDaySteps = 96;

support::SyntheticRain rain_of(std::uint64_t seed, int gauges, double spacing_m, std::size_t days) {
  support::SyntheticRainOptions options;
  options.gauges = gauges;
  options.spacing_m = spacing_m;
  options.step = std::chrono::minutes(15);
  options.steps = days * kDaySteps;
  options.seed = seed;
  return support::synthetic_rain(options);
}

CheckResult checked(const Network& network, const RainTable& table) {
  RainRecord record;
  record.depths = table;
  return check_network(network, record);
}

struct Healthy {
  double gauge_years = 0;
  double seconds = 0;
  std::map<std::string, int> calls;
  std::vector<double> smallest_percent;
};

void add_healthy(const support::SyntheticRain& rain, Healthy& tally) {
  const auto begin = std::chrono::steady_clock::now();
  const CheckResult result = checked(rain.network, rain.table);
  tally.seconds += std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  tally.gauge_years += result.gauge_years;
  for (const Finding& f : result.findings)
    ++tally.calls[std::string(word(f.tier)) + " " + std::string(word(f.kind))];
  for (const GaugeSummary& g : result.gauges)
    tally.smallest_percent.push_back(g.smallest_step_percent);
}

struct Plant {
  const char* name;
  double change;     // of the depth, -0.2 = 20 % less
  double ramp_days;  // 0 = a step
};

struct Found {
  int planted = 0;
  int early = 0;  // a call of any gain kind within 183 days of the onset
  int within_year = 0;
  int ever = 0;
  int right_kind = 0;
  int elsewhere = 0;  // gain findings on the other gauges
  std::vector<double> onset_error_days;
};

bool is_gain(FindingKind kind) {
  return kind == FindingKind::calibration_step || kind == FindingKind::calibration_drift ||
         kind == FindingKind::reads_low || kind == FindingKind::reads_high;
}

// Every eighth gauge gets the change after two fifths of the record, in tips as its bucket would
// count it.
void plant(const support::SyntheticRain& rain, const Plant& what, Found& found) {
  RainTable table = rain.table;
  const std::size_t steps = table.step_count();
  const std::size_t onset = steps * 2 / 5;
  for (std::size_t gauge = 0; gauge < rain.network.size(); gauge += 8) {
    double water = 0;
    for (std::size_t i = onset; i < steps; ++i) {
      const double since = static_cast<double>(i - onset) / kDaySteps;
      const double share = what.ramp_days > 0 ? std::min(1.0, since / what.ramp_days) : 1;
      water += (1 + what.change * share) * rain.table.depth_mm(gauge, i);
      const double out = std::floor(water / 0.2 + 1e-9) * 0.2;
      water -= out;
      table.set(gauge, i, static_cast<float>(out));
    }
  }
  const CheckResult result = checked(rain.network, table);
  const Instant truth = table.axis().begin(onset);
  const FindingKind right =
      what.ramp_days > 0 ? FindingKind::calibration_drift : FindingKind::calibration_step;
  for (std::size_t gauge = 0; gauge < rain.network.size(); ++gauge) {
    const Finding* first = nullptr;
    for (const Finding& f : result.findings) {
      if (f.gauge != gauge || !is_gain(f.kind)) continue;
      if (first == nullptr || f.called < first->called) first = &f;
    }
    if (gauge % 8 != 0) {
      if (first != nullptr) ++found.elsewhere;
      continue;
    }
    ++found.planted;
    if (first == nullptr || first->called < truth) continue;
    const double days = std::chrono::duration<double>(first->called - truth).count() / 86400;
    ++found.ever;
    if (days <= 365) ++found.within_year;
    if (days <= 183) ++found.early;
    if (first->kind == right) ++found.right_kind;
    found.onset_error_days.push_back(
        std::abs(std::chrono::duration<double>(first->from - truth).count()) / 86400);
  }
}

double quantile(std::vector<double> values, double share) {
  std::erase_if(values, [](double v) { return std::isnan(v); });
  if (values.empty()) return std::nan("");
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

}  // namespace

int main(int argc, char** argv) {
  const int networks = argc > 1 ? std::atoi(argv[1]) : 3;
  const int gauges = argc > 2 ? std::atoi(argv[2]) : 40;
  const double spacing_m = argc > 3 ? std::atof(argv[3]) : 10000;
  const std::size_t days = argc > 4 ? std::strtoul(argv[4], nullptr, 10) : 730;
  const std::uint64_t first_seed = argc > 5 ? std::strtoul(argv[5], nullptr, 10) : 4000;
  const bool only_healthy = argc > 6;
  const std::vector<Plant> plants = {{"step -20 %", -0.2, 0},
                                     {"step +20 %", 0.2, 0},
                                     {"step -15 %", -0.15, 0},
                                     {"step -10 %", -0.1, 0},
                                     {"ramp -20 % in 12 months", -0.2, 365},
                                     {"ramp -30 % in 12 months", -0.3, 365}};
  Healthy healthy;
  std::vector<Found> found(plants.size());
  for (int network = 0; network < networks; ++network) {
    const auto rain =
        rain_of(first_seed + static_cast<std::uint64_t>(network), gauges, spacing_m, days);
    add_healthy(rain, healthy);
    if (only_healthy) continue;
    for (std::size_t i = 0; i < plants.size(); ++i) plant(rain, plants[i], found[i]);
  }
  std::printf("%d networks of %d gauges at %.1f km, %zu days: %.1f gauge-years, %.2f s a check\n",
              networks, gauges, spacing_m / 1000, days, healthy.gauge_years,
              healthy.seconds / networks);
  for (const auto& [kind, count] : healthy.calls)
    std::printf("  false, %s: %d (%.4f per gauge-year)\n", kind.c_str(), count,
                count / healthy.gauge_years);
  std::printf("  smallest step to be noticed: median %.1f %%, nine tenths below %.1f %%\n",
              quantile(healthy.smallest_percent, 0.5), quantile(healthy.smallest_percent, 0.9));
  for (std::size_t i = 0; i < plants.size() && !only_healthy; ++i) {
    const Found& f = found[i];
    std::printf(
        "%s: %d planted, told within 6 months %d, 12 months %d, ever %d (%d by the right name); "
        "median onset error %.0f days; %d healthy gauges called\n",
        plants[i].name, f.planted, f.early, f.within_year, f.ever, f.right_kind,
        quantile(f.onset_error_days, 0.5), f.elsewhere);
  }
}
