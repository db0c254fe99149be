// Writes a seeded network and its rain as tipping buckets report it, for the process timings of
// scripts/bench. Not a test.
// usage: make_rain GAUGES DAYS STEP_MINUTES FOLDER -> gauges.csv (gauge,x,y in metres) and rain.csv
// (one column per gauge; 2 % missing, in outages of about two days). Gauges stand 10 km apart.

#include <fmt/format.h>
#include <fmt/os.h>

#include <cmath>
#include <cstdlib>
#include <string>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/synthetic_rain.hpp"

using namespace gaugeloom;

namespace {

void lose(RainTable& table) {
  Random random("bench outages");
  const double mean_steps = 48 / table.axis().step_hours();
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    double step = random.exponential(49 * mean_steps);
    while (step < static_cast<double>(table.step_count())) {
      const double end = step + random.exponential(mean_steps);
      for (; step < end && step < static_cast<double>(table.step_count()); ++step)
        table.set_missing(gauge, static_cast<std::size_t>(step));
      step += random.exponential(49 * mean_steps);
    }
  }
}

void write(const support::SyntheticRain& rain, const std::string& folder) {
  auto gauges = fmt::output_file(folder + "/gauges.csv");
  gauges.print("gauge,x,y\n");
  auto file = fmt::output_file(folder + "/rain.csv", fmt::buffer_size = 1 << 20);
  file.print("time");
  for (std::size_t g = 0; g < rain.network.size(); ++g) {
    const std::string& id = rain.network.gauges[g].id;
    gauges.print("{},{:.1f},{:.1f}\n", id, rain.positions[g].x_m, rain.positions[g].y_m);
    file.print(",{}", id);
  }
  for (std::size_t step = 0; step < rain.table.step_count(); ++step) {
    file.print("\n{}", format_utc(rain.table.axis().end(step)));
    for (std::size_t g = 0; g < rain.network.size(); ++g) {
      if (rain.table.is_measured(g, step))
        file.print(",{:.1f}", rain.table.depth_mm(g, step));
      else
        file.print(",");
    }
  }
  file.print("\n");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) {
    fmt::print(stderr, "usage: make_rain GAUGES DAYS STEP_MINUTES FOLDER\n");
    return 2;
  }
  support::SyntheticRainOptions options;
  options.gauges = std::atoi(argv[1]);
  options.spacing_m = 10000;
  options.step = std::chrono::minutes(std::atoi(argv[3]));
  options.steps = static_cast<std::size_t>(std::atoi(argv[2]) * 1440 / std::atoi(argv[3]));
  auto rain = support::synthetic_rain(options);
  lose(rain.table);
  write(rain, argv[4]);
}
