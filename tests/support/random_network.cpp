#include "support/random_network.hpp"

#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom::support {

RandomNetwork random_network(std::string_view name, int gauges, int targets, double spacing_m) {
  Random random(name);
  const double side_m = spacing_m * std::sqrt(static_cast<double>(gauges));
  const auto draw = [&](int count) {
    std::vector<MetricPoint> points;
    for (int i = 0; i < count; ++i) {
      const double x = random.uniform(0, side_m);
      points.push_back({x, random.uniform(0, side_m)});
    }
    return points;
  };
  RandomNetwork network;
  network.gauges = draw(gauges);
  network.targets = draw(targets);
  return network;
}

}  // namespace gaugeloom::support
