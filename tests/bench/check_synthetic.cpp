// Measures the checks on synthetic networks: false calls per gauge-year on healthy gauges, and how
// many injected full and partial blocks are found before how much rain is lost. Not a test: it
// prints. Usage: check_synthetic [networks] [gauges] [spacing_m] [days]

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/core/random.hpp"
#include "support/synthetic_rain.hpp"

using namespace gaugeloom;

namespace {

struct Tally {
  double gauge_years = 0;
  double seconds = 0;
  std::map<std::string, int> provisional;
  std::map<std::string, int> confirmed;
  int blocks = 0;
  int blocks_wet = 0;  // hid at least 10 mm
  int found_10mm = 0;
  int found_5mm = 0;
  int found = 0;
  int false_beside_blocks = 0;
  std::vector<double> lost_mm;
};

support::SyntheticRain rain_of(int network, int gauges, double spacing_m, int days) {
  support::SyntheticRainOptions options;
  options.gauges = gauges;
  options.spacing_m = spacing_m;
  options.step = std::chrono::minutes(15);
  options.steps = static_cast<std::size_t>(days) * 96;
  options.seed = 1000 + static_cast<std::uint64_t>(network);
  return support::synthetic_rain(options);
}

void healthy(const support::SyntheticRain& rain, Tally& tally) {
  RainRecord record;
  record.depths = rain.table;
  const auto begin = std::chrono::steady_clock::now();
  const CheckResult result = check_network(rain.network, record);
  tally.seconds += std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  tally.gauge_years += result.gauge_years;
  for (const Finding& f : result.findings) {
    ++(f.tier == Tier::confirmed ? tally.confirmed : tally.provisional)[std::string(word(f.kind))];
  }
}

struct Block {
  std::size_t gauge, first, last;
  bool full;
};

// One gauge in ten gets a block of 20 days somewhere in the record.
std::vector<Block> inject(support::SyntheticRain& rain, bool full, Random& random) {
  std::vector<Block> blocks;
  const std::size_t steps = rain.table.step_count();
  for (std::size_t gauge = 0; gauge < rain.network.size(); gauge += 10) {
    const std::size_t first = 30 * 96 + random.below(steps - 60 * 96);
    const Block block{gauge, first, first + 20 * 96, full};
    double water = 0;
    for (std::size_t i = block.first; i < block.last; ++i) {
      // A partial block lets 15 % through; the rest spills.
      double out = 0;
      if (!full) {
        water += 0.15 * rain.table.depth_mm(gauge, i);
        out = std::floor(water / 0.2) * 0.2;
        water -= out;
      }
      rain.table.set(gauge, i, static_cast<float>(out));
    }
    blocks.push_back(block);
  }
  return blocks;
}

void blocked(support::SyntheticRain rain, bool full, Random& random, Tally& tally) {
  const RainTable truth = rain.table;
  const auto blocks = inject(rain, full, random);
  RainRecord record;
  record.depths = rain.table;
  const CheckResult result = check_network(rain.network, record);
  for (const Finding& f : result.findings) {
    if (f.gauge % 10 != 0) ++tally.false_beside_blocks;
  }
  for (const Block& block : blocks) {
    ++tally.blocks;
    double lost = 0;
    Instant called = Instant::max();
    for (const Finding& f : result.findings) {
      const bool kind = f.kind == FindingKind::blocked || f.kind == FindingKind::partly_blocked;
      if (f.gauge == block.gauge && kind && f.called > truth.axis().begin(block.first) &&
          f.from < truth.axis().end(block.last)) {
        called = std::min(called, f.called);
      }
    }
    double all = 0;
    for (std::size_t i = block.first; i < block.last; ++i) {
      const double gone = truth.depth_mm(block.gauge, i) - record.depths.depth_mm(block.gauge, i);
      all += gone;
      if (truth.axis().end(i) <= called) lost += gone;
    }
    if (all < 10) continue;
    ++tally.blocks_wet;
    if (called == Instant::max()) continue;
    ++tally.found;
    tally.lost_mm.push_back(lost);
    if (lost <= 10) ++tally.found_10mm;
    if (lost <= 5) ++tally.found_5mm;
  }
}

void print_blocks(const char* name, Tally& t) {
  std::sort(t.lost_mm.begin(), t.lost_mm.end());
  const double median = t.lost_mm.empty() ? 0 : t.lost_mm[t.lost_mm.size() / 2];
  std::printf(
      "%s: %d blocks of 20 days, %d of them hid 10 mm or more: found %d, before 10 mm %d, before "
      "5 mm %d, median lost %.1f mm; %d findings on the healthy gauges of these networks\n",
      name, t.blocks, t.blocks_wet, t.found, t.found_10mm, t.found_5mm, median,
      t.false_beside_blocks);
}

}  // namespace

int main(int argc, char** argv) {
  const int networks = argc > 1 ? std::atoi(argv[1]) : 5;
  const int gauges = argc > 2 ? std::atoi(argv[2]) : 40;
  const double spacing_m = argc > 3 ? std::atof(argv[3]) : 10000;
  const int days = argc > 4 ? std::atoi(argv[4]) : 365;
  Tally sound;
  Tally full;
  Tally partial;
  Random random("check_synthetic");
  for (int network = 0; network < networks; ++network) {
    const auto rain = rain_of(network, gauges, spacing_m, days);
    healthy(rain, sound);
    blocked(rain, true, random, full);
    blocked(rain, false, random, partial);
  }
  std::printf("%d networks of %d gauges at %.1f km, %d days: %.1f gauge-years, %.2f s a check\n",
              networks, gauges, spacing_m / 1000, days, sound.gauge_years,
              sound.seconds / networks);
  for (const auto& [kind, count] : sound.provisional) {
    std::printf("  false, provisional %s: %d (%.3f per gauge-year)\n", kind.c_str(), count,
                count / sound.gauge_years);
  }
  for (const auto& [kind, count] : sound.confirmed) {
    std::printf("  false, confirmed %s: %d (%.3f per gauge-year)\n", kind.c_str(), count,
                count / sound.gauge_years);
  }
  print_blocks("full", full);
  print_blocks("partial (15 % comes through)", partial);
}
