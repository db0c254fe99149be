// Writes a seeded network and its hourly rain for the process timings of scripts/bench.
// usage: make_input GAUGES STEPS FOLDER -> gauges.csv (gauge,x,y in metres) and rain.csv
// (time,gauge,depth_mm; 3 % missing, half of it one by one and half in outages of some two days).
// Gauges are uniform with a mean spacing of 10 km; rain is a sum of moving Gaussian cells with a
// life of 12 h and a radius of 10 to 40 km, times gauge noise, to 0.1 mm.

#include <fmt/format.h>
#include <fmt/os.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace {

using gaugeloom::MetricPoint;
using gaugeloom::Random;

constexpr double kLifeHours = 12;
constexpr double kBinM = 50000;

struct Cell {
  double begin_h;
  MetricPoint centre;
  double east_m_per_h;
  double north_m_per_h;
  double radius_m;
  double peak_mm;
};

struct World {
  long bins = 1;  // per side
  std::vector<MetricPoint> gauges;
  std::vector<std::vector<std::size_t>> in_bin;
  std::vector<Cell> cells;

  long bin_of(double m) const { return std::clamp(static_cast<long>(m / kBinM), 0L, bins - 1); }
};

World make_world(std::size_t gauges, double hours) {
  Random random(fmt::format("bench {} {}", gauges, hours));
  World world;
  const double side_m = 10000 * std::sqrt(static_cast<double>(gauges));
  world.bins = static_cast<long>(side_m / kBinM) + 1;
  world.in_bin.resize(static_cast<std::size_t>(world.bins * world.bins));
  for (std::size_t g = 0; g < gauges; ++g) {
    const double x = random.uniform(0, side_m);
    const MetricPoint point{x, random.uniform(0, side_m)};
    world.gauges.push_back(point);
    const long bin = world.bin_of(point.y_m) * world.bins + world.bin_of(point.x_m);
    world.in_bin[static_cast<std::size_t>(bin)].push_back(g);
  }
  constexpr double kPadM = 60000;
  const double windows = std::pow((side_m + 2 * kPadM) / kPadM, 2);
  const double count = std::max(3.0, 0.2 * windows) * (hours / kLifeHours + 2);
  for (int i = 0; i < static_cast<int>(count); ++i) {
    Cell cell{};
    cell.begin_h = random.uniform(-kLifeHours, hours + kLifeHours);
    cell.centre.x_m = random.uniform(-kPadM, side_m + kPadM);
    cell.centre.y_m = random.uniform(-kPadM, side_m + kPadM);
    cell.east_m_per_h = 6000 + 2500 * random.normal();
    cell.north_m_per_h = 2000 + 2500 * random.normal();
    cell.radius_m = random.uniform(10000, 40000);
    cell.peak_mm = random.exponential(5.4);
    world.cells.push_back(cell);
  }
  return world;
}

void add_cell(const World& world, const Cell& cell, double age_h, std::vector<double>& rain) {
  const double peak = cell.peak_mm * std::sin(3.14159265358979 * age_h / kLifeHours);
  const MetricPoint centre{cell.centre.x_m + cell.east_m_per_h * age_h,
                           cell.centre.y_m + cell.north_m_per_h * age_h};
  const double reach = 3.2 * cell.radius_m;
  const long last_row = world.bin_of(centre.y_m + reach);
  const long last_column = world.bin_of(centre.x_m + reach);
  for (long row = world.bin_of(centre.y_m - reach); row <= last_row; ++row)
    for (long column = world.bin_of(centre.x_m - reach); column <= last_column; ++column)
      for (const std::size_t g :
           world.in_bin[static_cast<std::size_t>(row * world.bins + column)]) {
        const double d = distance_m(world.gauges[g], centre) / cell.radius_m;
        if (d < 3.2) rain[g] += peak * std::exp(-0.5 * d * d);
      }
}

void write_rain(const World& world, std::size_t steps, const std::string& path) {
  Random random(fmt::format("bench rain {} {}", world.gauges.size(), steps));
  std::vector<double> out_until(world.gauges.size(), -1);
  auto file = fmt::output_file(path, fmt::buffer_size = 1 << 20);
  file.print("time,gauge,depth_mm\n");
  const auto start = gaugeloom::parse_iso8601("2024-01-01")->utc();
  for (std::size_t s = 0; s < steps; ++s) {
    const auto hour = static_cast<double>(s);
    std::vector<double> rain(world.gauges.size(), 0.0);
    for (const Cell& cell : world.cells)
      if (hour >= cell.begin_h && hour < cell.begin_h + kLifeHours)
        add_cell(world, cell, hour - cell.begin_h, rain);
    const std::string time = gaugeloom::format_utc(start + std::chrono::hours{s});
    for (std::size_t g = 0; g < rain.size(); ++g) {
      if (random.chance(0.015 / 48)) out_until[g] = hour + random.exponential(48);
      const double noise = std::exp(0.3 * random.normal() - 0.045);
      if (random.chance(0.015) || hour < out_until[g])
        file.print("{},G{:05},\n", time, g);
      else
        file.print("{},G{:05},{:.1f}\n", time, g, std::max(rain[g] - 1.0, 0.0) * noise);
    }
  }
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    fmt::print(stderr, "usage: make_input GAUGES STEPS FOLDER\n");
    return 2;
  }
  const auto gauges = static_cast<std::size_t>(std::atol(argv[1]));
  const auto steps = static_cast<std::size_t>(std::atol(argv[2]));
  const std::string folder = argv[3];
  const World world = make_world(gauges, static_cast<double>(steps));
  auto file = fmt::output_file(folder + "/gauges.csv");
  file.print("gauge,x,y\n");
  for (std::size_t g = 0; g < gauges; ++g)
    file.print("G{:05},{:.1f},{:.1f}\n", g, world.gauges[g].x_m, world.gauges[g].y_m);
  write_rain(world, steps, folder + "/rain.csv");
}
