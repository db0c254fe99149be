#pragma once
// A small network whose rain is the same shower everywhere, times a factor per gauge: what must be
// filled in is then known by hand.

#include <string>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom::support {

// Gauges A, B, C, ... on a circle of 5 km around the first.
inline Network circle_network(std::size_t gauges) {
  static constexpr double kX[] = {0, 5000, 0, -5000, 0, 3000};
  static constexpr double kY[] = {0, 0, 5000, 0, -5000, 4000};
  Network network;
  network.working_crs = "local";
  for (std::size_t g = 0; g < gauges; ++g) {
    Gauge gauge;
    gauge.id = std::string(1, static_cast<char>('A' + g));
    gauge.position = {kX[g], kY[g]};
    network.gauges.push_back(gauge);
  }
  return network;
}

// Depth of the shower in hour `step`: 9 dry hours, then 1, 4, 2 mm, over and over.
inline float shower_mm(std::size_t step) {
  static constexpr float kShower[] = {0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 4, 2};
  return kShower[step % 12];
}

inline RainRecord shower_record(const std::vector<float>& factors, std::size_t hours) {
  RainRecord record;
  record.depths =
      RainTable(StepAxis(parse_iso8601("2024-06-01T01:00Z")->utc(), std::chrono::hours{1}, hours),
                factors.size());
  for (std::size_t g = 0; g < factors.size(); ++g)
    for (std::size_t s = 0; s < hours; ++s) record.depths.set(g, s, factors[g] * shower_mm(s));
  return record;
}

}  // namespace gaugeloom::support
