#include "gaugeloom/expect/neighbourhood.hpp"

#include <algorithm>

namespace gaugeloom {
namespace {

std::vector<Neighbour> candidates_of(std::size_t gauge, const Network& network,
                                     const NeighbourhoodOptions& options) {
  std::vector<Neighbour> all;
  for (std::size_t other = 0; other < network.size(); ++other) {
    if (other == gauge) continue;
    const double d = distance_m(network.gauges[gauge].position, network.gauges[other].position);
    if (d <= options.reach_m) all.push_back({other, d, 0});
  }
  const auto nearer = [&](const Neighbour& a, const Neighbour& b) {
    if (a.distance_m != b.distance_m) return a.distance_m < b.distance_m;
    return network.gauges[a.gauge].id < network.gauges[b.gauge].id;
  };
  const std::size_t kept = std::min(options.candidates, all.size());
  std::partial_sort(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(kept), all.end(),
                    nearer);
  all.resize(kept);
  return all;
}

void weigh(std::vector<Neighbour>& candidates, std::size_t used) {
  if (candidates.empty()) return;
  const std::size_t middle = (std::min(used, candidates.size()) - 1) / 2;
  const double soft_m = std::max(500.0, candidates[middle].distance_m / 2);
  for (Neighbour& n : candidates) {
    n.weight = 1e6 / (n.distance_m * n.distance_m + soft_m * soft_m);
  }
}

}  // namespace

Neighbourhoods neighbourhoods(const Network& network, const NeighbourhoodOptions& options) {
  Neighbourhoods out;
  out.options = options;
  out.of.resize(network.size());
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge) {
    out.of[gauge] = candidates_of(gauge, network, options);
    weigh(out.of[gauge], options.used);
  }
  return out;
}

}  // namespace gaugeloom
