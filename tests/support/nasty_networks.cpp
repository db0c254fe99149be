#include "support/nasty_networks.hpp"

#include "support/random_network.hpp"

namespace gaugeloom::support {

std::vector<NastyNetwork> nasty_networks() {
  std::vector<NastyNetwork> all;
  const auto scattered = random_network("nasty", 17, 20);
  all.push_back({"none", {}, {{0, 0}}});
  all.push_back({"one", {{5, 5}}, {{5, 5}, {0, 0}}});
  all.push_back({"two on one spot", {{1e6, 2e6}, {1e6, 2e6}}, {{1e6, 2e6}, {0, 0}}});
  all.push_back({"fifty on one spot", std::vector<MetricPoint>(50, {3, 4}), {{3, 4}, {0, 0}}});
  NastyNetwork line{"on a line", {}, {{0, 0}, {500, 0}, {1500, 1}, {1e7, 1e7}}};
  for (int i = 0; i < 40; ++i) line.gauges.push_back({1000.0 * i, 0});
  all.push_back(line);
  NastyNetwork grid{"on a grid", {}, {{5000, 5000}, {5500, 5500}, {-100, 3000}}};
  for (int row = 0; row < 11; ++row)
    for (int column = 0; column < 11; ++column)
      grid.gauges.push_back({1000.0 * column, 1000.0 * row});
  grid.targets.insert(grid.targets.end(), grid.gauges.begin(), grid.gauges.end());
  all.push_back(grid);
  NastyNetwork doubled{"each twice", scattered.gauges, scattered.targets};
  doubled.gauges.insert(doubled.gauges.end(), scattered.gauges.begin(), scattered.gauges.end());
  all.push_back(doubled);
  const auto large = random_network("nasty large", 400, 40);
  all.push_back({"four hundred", large.gauges, large.targets});
  return all;
}

}  // namespace gaugeloom::support
