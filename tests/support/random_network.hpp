#pragma once
// Seeded networks for tests; the name of the test is the seed.

#include <string_view>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom::support {

struct RandomNetwork {
  std::vector<MetricPoint> gauges;
  std::vector<MetricPoint> targets;
};

// Gauges and targets uniform over a square whose mean spacing is `spacing_m`.
RandomNetwork random_network(std::string_view name, int gauges, int targets = 20,
                             double spacing_m = 10000);

}  // namespace gaugeloom::support
