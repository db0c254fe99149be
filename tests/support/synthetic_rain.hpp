#pragma once
// Seeded synthetic rain over a network: fronts and convective storms made of moving cells with a
// life cycle, caught by tipping buckets. No library function that could differ between machines
// decides a byte. Made for tests and the demo; not a model of any real place.

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom::support {

struct StormClimate {
  double mean_wait_h = 56;        // from the end of one storm to the next, exponential
  double convective_share = 0.4;  // of the storms; the yearly mean
  bool seasonal = true;           // convective storms follow the warm season (July)
};

// True depth in mm, gauge-major (gauge * axis.count() + step), before any gauge saw it.
// Roughly 700 to 1000 mm a year with the defaults.
std::vector<double> true_depth_mm(std::span<const MetricPoint> positions, const StepAxis& axis,
                                  const StormClimate& climate, std::uint64_t seed);

// What a bucket reports of one gauge's depths: whole tips, the rest of the water carried over.
std::vector<float> tipped_mm(std::span<const double> depth_mm, double bucket_mm);

// A jittered grid of `count` gauges, mean distance to the next about `spacing_m`, from (0, 0) on.
std::vector<MetricPoint> jittered_grid(int count, double spacing_m, std::uint64_t seed);

struct SyntheticRainOptions {
  int gauges = 40;
  double spacing_m = 8000;
  std::size_t steps = 30 * 144;
  std::chrono::seconds step = std::chrono::minutes(10);
  Instant first_end = Instant{std::chrono::sys_days{std::chrono::year{2023} / 5 / 1}};
  std::uint64_t seed = 1;
  double bucket_mm = 0.2;
  double site_spread = 0.06;  // standard deviation of the gauges' constant factors around 1
  double step_noise = 0.04;   // standard deviation of a factor around 1 per gauge and step
  StormClimate climate{};
};

struct SyntheticRain {
  Network network;                     // ids G001, G002, ..., working CRS "local"
  std::vector<MetricPoint> positions;  // the same as network.positions()
  RainTable table;                     // what the buckets reported; nothing is missing
  std::vector<double> true_mm;         // site factor included, gauge-major
};

// The same options give the same bytes everywhere. Cost: about 0.1 s for 40 gauges and a year of
// 15-minute steps.
SyntheticRain synthetic_rain(const SyntheticRainOptions& options = {});

}  // namespace gaugeloom::support
