// Prints how well the members of an ensemble stand for the mean depth over many gauges that are out
// at once. Not timed.
//   member_areas gauges.csv rain.csv[.gz] SHARE    SHARE of the gauges are hidden on every third
//   day
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/fill/ensemble.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

namespace {

using namespace gaugeloom;

constexpr int kMembers = 199;
constexpr double kLeastMm = 0.5;  // mean estimate over the hidden gauges

std::vector<HiddenGap> whole_days(const RainTable& depths, std::size_t day_steps, double share) {
  Random random("areas");
  std::vector<HiddenGap> gaps;
  for (std::size_t first = 0; first + day_steps <= depths.step_count(); first += 3 * day_steps)
    for (std::size_t g = 0; g < depths.gauge_count(); ++g)
      if (random.chance(share)) gaps.push_back({g, first, first + day_steps});
  return gaps;
}

// Sums over the hidden gauges, in mm times gauges.
struct AreaSums {
  double measured = 0;
  double estimate = 0;
  std::vector<double> members = std::vector<double>(kMembers, 0);
  double gauges = 0;
};

void add(AreaSums& sums, const RainTable& truth, const FillResult& filled, const Ensemble& ensemble,
         const HiddenGap& window) {
  double measured = 0;
  double estimate = 0;
  for (std::size_t s = window.first; s < window.last; ++s) {
    measured += static_cast<double>(truth.depth_mm(window.gauge, s));
    estimate += static_cast<double>(filled.record.depth.depth_mm(window.gauge, s));
  }
  if (!std::isfinite(measured + estimate)) return;
  std::vector<float> drawn((window.last - window.first) * kMembers);
  ensemble.draw(window.gauge, {window.first, window.last}, drawn);
  for (std::size_t i = 0; i < drawn.size(); ++i)
    sums.members[i % kMembers] += static_cast<double>(drawn[i]);
  sums.measured += measured;
  sums.estimate += estimate;
  ++sums.gauges;
}

void print_windows(const RainTable& truth, const FillResult& filled, const Ensemble& ensemble,
                   const std::vector<HiddenGap>& gaps, std::size_t steps) {
  double squares = 0;
  double variances = 0;
  int held = 0;
  int windows = 0;
  for (std::size_t begin = 0; begin < gaps.size();) {
    std::size_t end = begin;  // gaps of one day
    while (end < gaps.size() && gaps[end].first == gaps[begin].first) ++end;
    for (std::size_t s = gaps[begin].first; s + steps <= gaps[begin].last; s += steps) {
      AreaSums sums;
      for (std::size_t i = begin; i < end; ++i)
        add(sums, truth, filled, ensemble, {gaps[i].gauge, s, s + steps});
      if (!(sums.estimate >= kLeastMm * sums.gauges) || sums.gauges == 0) continue;
      std::sort(sums.members.begin(), sums.members.end());
      double mean = 0;
      for (const double mm : sums.members) mean += mm / kMembers;
      double variance = 0;
      for (const double mm : sums.members) variance += (mm - mean) * (mm - mean) / (kMembers - 1);
      squares += (sums.measured - mean) * (sums.measured - mean) / (sums.gauges * sums.gauges);
      variances += variance / (sums.gauges * sums.gauges);
      held += sums.members[9] <= sums.measured && sums.measured <= sums.members[189] ? 1 : 0;
      ++windows;
    }
    begin = end;
  }
  fmt::print("{:5.1f} h: {} windows, error over spread {:.2f}, held {:.1f} %\n",
             static_cast<double>(steps) * truth.axis().step_hours(), windows,
             std::sqrt(squares / variances), 100.0 * held / windows);
}

void print_areas(const std::string& gauges, const std::string& rain, double share) {
  std::vector<std::string> said;
  const Network network = read_gauges(gauges, {}, said);
  Notices notices;
  const std::vector<std::string> paths{rain};
  const RainRecord truth = read_rain(paths, network, {}, notices);
  const std::size_t day = truth.depths.axis().steps_in(std::chrono::hours{24}).value();
  const auto gaps = whole_days(truth.depths, day, share);
  const RainRecord hidden = with_hidden(truth, gaps);
  FillResult filled = fill_gaps(network, hidden, all_good(hidden.depths));
  for (const char* way : {"with correlation between gauges", "without"}) {
    fmt::print("{}\n", way);
    const Ensemble ensemble(network, hidden, filled, {kMembers, 1, 0});
    for (const std::size_t parts : {24, 4, 1})
      print_windows(truth.depths, filled, ensemble, gaps, day / parts);
    filled.plan.variogram_range_m = 0;
  }
}

}  // namespace

int main(int argc, char** argv) {
  try {
    if (argc != 4) {
      std::fputs("usage: member_areas gauges.csv rain.csv[.gz] SHARE\n", stderr);
      return 2;
    }
    print_areas(argv[1], argv[2], std::strtod(argv[3], nullptr));
    return 0;
  } catch (const std::exception& error) {
    std::fputs(error.what(), stderr);
    return 1;
  }
}
