#include "support/synthetic_rain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/geo/gauge_index.hpp"

namespace gaugeloom::support {
namespace {

// A patch of rain: brightest in its centre and in the middle of its life, moving steadily.
struct Cell {
  double middle_s = 0;  // middle of its life, seconds from the start of the axis
  double life_s = 0;
  double x_m = 0;  // centre in the middle of its life
  double y_m = 0;
  double radius_m = 0;
  double peak_mm_h = 0;
};

struct Storm {
  double from_s = 0;
  double length_s = 0;
  double east_m_s = 0;
  double north_m_s = 0;
  bool convective = false;
};

struct Region {
  double min_x_m = 0, min_y_m = 0, max_x_m = 0, max_y_m = 0;
  double thousand_km2(double margin_m) const {
    return (max_x_m - min_x_m + 2 * margin_m) * (max_y_m - min_y_m + 2 * margin_m) * 1e-9;
  }
};

Region region_of(std::span<const MetricPoint> positions) {
  Region region{1e300, 1e300, -1e300, -1e300};
  for (const MetricPoint& point : positions) {
    region.min_x_m = std::min(region.min_x_m, point.x_m);
    region.min_y_m = std::min(region.min_y_m, point.y_m);
    region.max_x_m = std::max(region.max_x_m, point.x_m);
    region.max_y_m = std::max(region.max_y_m, point.y_m);
  }
  return region;
}

// 1 in the middle of July, 0 in the middle of January, straight in between.
double warmth(Instant t) {
  const double days = static_cast<double>(t.time_since_epoch().count()) / 86400e6;
  const double years = (days - 15) / 365.25;  // counted from a middle of January
  const double share = years - std::floor(years);
  return share < 0.5 ? 2 * share : 2 - 2 * share;
}

class Weather {
 public:
  Weather(std::span<const MetricPoint> positions, const StepAxis& axis, const StormClimate& climate,
          std::uint64_t seed)
      : index_(positions),
        region_(region_of(positions)),
        axis_(axis),
        climate_(climate),
        random_(mix_bits(seed + 0x5eed)),
        depth_mm_(positions.size() * axis.count()) {
    step_s_ = static_cast<double>(axis.step().count());
    parts_ = std::max(1, static_cast<int>(std::ceil(step_s_ / 300.0)));
  }

  std::vector<double> run() {
    const double end_s = step_s_ * static_cast<double>(axis_.count());
    double now_s = random_.exponential(climate_.mean_wait_h / 2) * 3600;
    while (now_s < end_s) {
      const Storm storm = draw_storm(now_s);
      if (storm.convective)
        rain_convective(storm);
      else
        rain_front(storm);
      now_s += storm.length_s + random_.exponential(climate_.mean_wait_h) * 3600;
    }
    return std::move(depth_mm_);
  }

 private:
  Storm draw_storm(double from_s) {
    const Instant when = axis_.begin(0) + std::chrono::seconds(static_cast<long>(from_s));
    const double share = climate_.convective_share * (climate_.seasonal ? 2 * warmth(when) : 1);
    Storm storm;
    storm.from_s = from_s;
    storm.convective = random_.chance(share);
    storm.length_s = 3600 * (storm.convective ? random_.uniform(2, 6) : random_.uniform(5, 18));
    storm.east_m_s = random_.uniform(3, storm.convective ? 10 : 15);
    storm.north_m_s = random_.uniform(-5, 5);
    return storm;
  }

  Cell draw_cell(const Storm& storm, double margin_m) {
    Cell cell;
    cell.middle_s = storm.from_s + storm.length_s * random_.uniform();
    cell.x_m = random_.uniform(region_.min_x_m - margin_m, region_.max_x_m + margin_m);
    cell.y_m = random_.uniform(region_.min_y_m - margin_m, region_.max_y_m + margin_m);
    return cell;
  }

  void rain_front(const Storm& storm) {
    const int bands = 2 + static_cast<int>(random_.below(3));
    for (int i = 0; i < bands; ++i) {
      Cell cell = draw_cell(storm, 30e3);
      cell.life_s = storm.length_s * random_.uniform(0.4, 0.9);
      cell.radius_m = random_.uniform(60e3, 130e3);
      cell.peak_mm_h = 0.25 + std::min(4.0, random_.exponential(0.7));
      fall(storm, cell);
    }
    const double expected = 0.4 * storm.length_s / 3600 * region_.thousand_km2(12e3);
    for (double i = random_.uniform(); i < expected; i += 1) {
      Cell cell = draw_cell(storm, 12e3);
      cell.life_s = 60 * random_.uniform(40, 120);
      cell.radius_m = random_.uniform(6e3, 16e3);
      cell.peak_mm_h = 1 + std::min(15.0, random_.exponential(3.5));
      fall(storm, cell);
    }
  }

  void rain_convective(const Storm& storm) {
    const double expected = 0.8 * storm.length_s / 3600 * region_.thousand_km2(10e3);
    for (double i = random_.uniform(); i < expected; i += 1) {
      Cell cell = draw_cell(storm, 10e3);
      cell.life_s = 60 * random_.uniform(25, 80);
      cell.radius_m = random_.uniform(4e3, 12e3);
      cell.peak_mm_h = 6 + std::min(90.0, random_.exponential(24));
      fall(storm, cell);
    }
  }

  void fall(const Storm& storm, const Cell& cell) {
    const double part_s = step_s_ / parts_;
    const double from_s = std::max(0.0, cell.middle_s - cell.life_s / 2);
    const auto last = static_cast<std::size_t>(parts_) * axis_.count();
    for (auto part = static_cast<std::size_t>(from_s / part_s); part < last; ++part) {
      const double since_s = (static_cast<double>(part) + 0.5) * part_s - cell.middle_s;
      if (since_s >= cell.life_s / 2) break;
      const double age = 2 * since_s / cell.life_s;
      if (age <= -1) continue;
      const MetricPoint centre{cell.x_m + storm.east_m_s * since_s,
                               cell.y_m + storm.north_m_s * since_s};
      wet(centre, cell.radius_m, cell.peak_mm_h * (1 - age * age) * part_s / 3600,
          part / static_cast<std::size_t>(parts_));
    }
  }

  void wet(const MetricPoint& centre, double radius_m, double peak_mm, std::size_t step) {
    for (const Neighbour& gauge : index_.within(centre, radius_m)) {
      const double out = gauge.distance_m / radius_m;
      const double shape = (1 - out * out) * (1 - out * out);
      depth_mm_[gauge.index * axis_.count() + step] += peak_mm * shape;
    }
  }

  GaugeIndex index_;
  Region region_;
  StepAxis axis_;
  StormClimate climate_;
  Random random_;
  std::vector<double> depth_mm_;
  double step_s_ = 0;
  int parts_ = 1;  // a step is rained in parts of at most 5 minutes
};

}  // namespace

std::vector<double> true_depth_mm(std::span<const MetricPoint> positions, const StepAxis& axis,
                                  const StormClimate& climate, std::uint64_t seed) {
  if (positions.empty() || axis.count() == 0) return {};
  return Weather(positions, axis, climate, seed).run();
}

std::vector<float> tipped_mm(std::span<const double> depth_mm, double bucket_mm) {
  std::vector<float> reported(depth_mm.size());
  double held_mm = 0;
  for (std::size_t i = 0; i < depth_mm.size(); ++i) {
    held_mm += depth_mm[i];
    const double tips = std::floor(held_mm / bucket_mm);
    held_mm -= tips * bucket_mm;
    reported[i] = static_cast<float>(tips * bucket_mm);
  }
  return reported;
}

std::vector<MetricPoint> jittered_grid(int count, double spacing_m, std::uint64_t seed) {
  Random random(mix_bits(seed + 0x9e1d));
  const int columns = static_cast<int>(std::ceil(std::sqrt(static_cast<double>(count))));
  std::vector<MetricPoint> points;
  for (int i = 0; i < count; ++i) {
    const double column = i % columns + random.uniform(0.15, 0.85);
    const double row = i / columns + random.uniform(0.15, 0.85);
    points.push_back({std::round(column * spacing_m), std::round(row * spacing_m)});
  }
  return points;
}

SyntheticRain synthetic_rain(const SyntheticRainOptions& options) {
  SyntheticRain made;
  const StepAxis axis(options.first_end, options.step, options.steps);
  made.positions = jittered_grid(options.gauges, options.spacing_m, options.seed);
  made.true_mm = true_depth_mm(made.positions, axis, options.climate, options.seed);
  made.network.working_crs = "local";
  Random random(mix_bits(options.seed + 0x6a09));
  std::vector<float> reported;
  for (std::size_t gauge = 0; gauge < made.positions.size(); ++gauge) {
    Gauge one;
    one.id = fmt::format("G{:03}", gauge + 1);
    one.position = made.positions[gauge];
    one.bucket_mm = options.bucket_mm;
    made.network.gauges.push_back(one);
    const std::span<double> truth(&made.true_mm[gauge * options.steps], options.steps);
    const double site = std::max(0.2, 1 + options.site_spread * random.normal());
    for (double& depth : truth) depth *= site;
    std::vector<double> caught(truth.begin(), truth.end());
    for (double& depth : caught)
      if (depth > 0) depth *= std::max(0.0, 1 + options.step_noise * random.normal());
    const auto row = tipped_mm(caught, options.bucket_mm);
    reported.insert(reported.end(), row.begin(), row.end());
  }
  made.table = RainTable(axis, made.positions.size(), std::move(reported));
  return made;
}

}  // namespace gaugeloom::support
