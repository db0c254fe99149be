#include "support/demo_basin.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/demo_faults.hpp"
#include "support/demo_land.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom::support {
namespace {

constexpr std::uint64_t kSeed = 20230605;
constexpr int kGauges = 40;
constexpr double kSpacingM = 8000;
constexpr std::size_t kSteps = 35 * 144;  // five weeks of ten minutes

// Two syllables, each pair once.
std::string invented_name(std::size_t number) {
  static constexpr const char* kFirst[] = {"Quar",  "Zelm", "Thorv", "Ildr", "Marv",
                                           "Brevv", "Ulv",  "Sarn",  "Nydr", "Orvl"};
  static constexpr const char* kSecond[] = {"askel", "imoth", "umsett", "ohyth"};
  return std::string(kFirst[number % 10]) + kSecond[(number / 10 + number) % 4];
}

Network make_network() {
  Network network;
  network.working_crs = "EPSG:3035";
  const auto grid = jittered_grid(kGauges, kSpacingM, kSeed);
  for (std::size_t i = 0; i < grid.size(); ++i) {
    Gauge gauge;
    gauge.id = fmt::format("V{:02}", i + 1);
    gauge.name = invented_name(i);
    gauge.position = {kDemoOrigin.x_m + grid[i].x_m, kDemoOrigin.y_m + grid[i].y_m};
    gauge.elevation_m = std::round(demo_elevation_m(gauge.position));
    gauge.bucket_mm = 0.2;
    gauge.accuracy_percent = i % 9 == 4 ? 3 : 5;
    gauge.max_rate_mm_h = 300;
    if (const double siphon_ml = demo_siphon_ml(i); siphon_ml > 0) gauge.siphon_ml = siphon_ml;
    network.gauges.push_back(std::move(gauge));
  }
  return network;
}

// Higher ground is wetter; every site has a factor of its own; every step a little noise.
std::vector<double> water_in_funnels(const Network& network, const StepAxis& axis) {
  StormClimate climate;
  climate.mean_wait_h = 34;
  climate.convective_share = 0.25;
  std::vector<double> water = true_depth_mm(network.positions(), axis, climate, kSeed);
  Random random(mix_bits(kSeed + 1));
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge) {
    const double height = network.gauges[gauge].elevation_m.value_or(0);
    const double site = (0.85 + 0.0005 * height) * (1 + 0.05 * random.normal());
    for (std::size_t step = 0; step < axis.count(); ++step)
      water[gauge * axis.count() + step] *= site * std::max(0.0, 1 + 0.05 * random.normal());
  }
  return water;
}

}  // namespace

DemoBasin demo_basin() {
  DemoBasin basin;
  basin.network = make_network();
  const Instant start{std::chrono::sys_days{std::chrono::year{2023} / 6 / 5}};
  const StepAxis axis(start + std::chrono::minutes(10), std::chrono::minutes(10), kSteps);
  basin.water_mm = water_in_funnels(basin.network, axis);
  basin.rain = RainTable(axis, basin.network.size());
  basin.faults = planted_faults();
  for (std::size_t gauge = 0; gauge < basin.network.size(); ++gauge) {
    const std::vector<double> water(
        basin.water_mm.begin() + static_cast<long>(gauge * kSteps),
        basin.water_mm.begin() + static_cast<long>((gauge + 1) * kSteps));
    const auto row =
        read_with_faults(water, basin.network.gauges[gauge].bucket_mm, gauge, axis, basin.faults);
    for (std::size_t step = 0; step < kSteps; ++step)
      if (!std::isnan(row[step])) basin.rain.set(gauge, step, row[step]);
  }
  basin.tips = demo_tips(basin.water_mm, axis);
  basin.catchments = demo_catchments();
  basin.elevation = demo_elevation_grid();
  return basin;
}

std::string gauges_csv(const DemoBasin& basin) {
  std::string text =
      "gauge,name,x,y,elevation_m,bucket_mm,accuracy_percent,max_rate_mm_h,siphon_ml\n";
  for (const Gauge& gauge : basin.network.gauges)
    text +=
        fmt::format("{},{},{:.0f},{:.0f},{:.0f},{:.1f},{:.0f},{:.0f},{}\n", gauge.id, gauge.name,
                    gauge.position.x_m, gauge.position.y_m, gauge.elevation_m.value_or(0),
                    gauge.bucket_mm, gauge.accuracy_percent, gauge.max_rate_mm_h.value_or(0),
                    gauge.siphon_ml ? fmt::format("{:.0f}", *gauge.siphon_ml) : "");
  return text;
}

std::string rain_csv(const DemoBasin& basin) {
  std::string text = "time,gauge,depth_mm\n";
  const std::vector<std::size_t> tipping = demo_tip_gauges();
  for (std::size_t step = 0; step < basin.rain.step_count(); ++step) {
    const std::string time = format_utc(basin.rain.axis().end(step)).substr(0, 16) + "Z";
    for (std::size_t gauge = 0; gauge < basin.network.size(); ++gauge) {
      if (std::ranges::binary_search(tipping, gauge)) continue;
      text += time + ',' + basin.network.gauges[gauge].id + ',';
      if (basin.rain.is_measured(gauge, step)) {
        const double depth = basin.rain.depth_mm(gauge, step);
        text += depth == 0 ? "0" : fmt::format("{:.1f}", depth);
      }
      text += '\n';
    }
  }
  return text;
}

std::string tips_csv(const DemoBasin& basin) {
  std::vector<std::string> ids;
  for (const Gauge& gauge : basin.network.gauges) ids.push_back(gauge.id);
  return tips_csv(basin.tips, ids);
}

std::string planted_faults_csv(const DemoBasin& basin) {
  std::string text = "gauge,finding,from,to,amount,unit,note\n";
  for (const PlantedFault& fault : basin.faults)
    text += fmt::format("{},{},{},{},{:.2f},{},{}\n", basin.network.gauges[fault.gauge].id,
                        fault.finding, format_utc(fault.window.from), format_utc(fault.window.to),
                        fault.amount, fault.unit, fault.note);
  return text;
}

}  // namespace gaugeloom::support
