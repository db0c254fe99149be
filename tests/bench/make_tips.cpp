// Writes seeded raw tips for the process timings of scripts/bench.
// usage: make_tips GAUGES YEARS TIPS_A_YEAR FOLDER -> gauges.csv (gauge,x,y in metres) and tips.csv
// (time,gauge; milliseconds). Gauges on a 10 km square grid; every gauge has its own showers of
// exponential length 40 min and a steady intensity each, exponential with a mean of 3 mm/h, so many
// that a bucket of 0.2 mm tips about as often as asked for. Rows by time, all gauges together, one
// in 1000 doubled by contact bounce.

#include <fmt/format.h>
#include <fmt/os.h>

#include <algorithm>
#include <cstdlib>
#include <string>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

constexpr double kShowerS = 2400;
constexpr double kMeanMmH = 3;
constexpr double kBucketMm = 0.2;

struct Tip {
  Instant time;
  std::size_t gauge;
};

// The tips of one gauge in the given year.
void add_year(std::vector<Tip>& tips, std::size_t gauge, int year, double a_year) {
  Random random(fmt::format("tips {} {}", gauge, year));
  const Instant begin = std::chrono::sys_days{std::chrono::year{1990 + year} / 1 / 1};
  const double tips_a_shower = kShowerS * kMeanMmH / 3600 / kBucketMm;
  const double dry_s = 365 * 86400.0 * tips_a_shower / a_year;
  for (double at_s = random.exponential(dry_s); at_s < 365 * 86400.0;
       at_s += random.exponential(dry_s)) {
    const double interval_s =
        std::max(1.0, 3600 * kBucketMm / (0.05 + random.exponential(kMeanMmH)));
    for (double left_s = random.exponential(kShowerS); left_s > interval_s; left_s -= interval_s) {
      at_s += interval_s;
      const Instant t = begin + std::chrono::milliseconds(static_cast<long>(1000 * at_s));
      tips.push_back({t, gauge});
      if (random.chance(0.001)) tips.push_back({t + std::chrono::milliseconds(20), gauge});
    }
  }
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  const auto gauges = static_cast<std::size_t>(std::atol(argv[1]));
  const std::string folder = argv[4];
  auto list = fmt::output_file(folder + "/gauges.csv");
  list.print("gauge,x,y\n");
  for (std::size_t g = 0; g < gauges; ++g)
    list.print("G{:04},{},{}\n", g, 10000 * (g % 10), 10000 * (g / 10));
  auto out = fmt::output_file(folder + "/tips.csv");
  out.print("time,gauge\n");
  for (int year = 0; year < std::atoi(argv[2]); ++year) {
    std::vector<Tip> tips;
    for (std::size_t g = 0; g < gauges; ++g) add_year(tips, g, year, std::atof(argv[3]));
    std::sort(tips.begin(), tips.end(), [](const Tip& a, const Tip& b) {
      return a.time != b.time ? a.time < b.time : a.gauge < b.gauge;
    });
    for (const Tip& tip : tips) {
      std::string time = format_utc(tip.time);
      if (time.size() == 27) time = time.substr(0, 23) + "Z";  // milliseconds
      out.print("{},G{:04}\n", time, tip.gauge);
    }
  }
}
