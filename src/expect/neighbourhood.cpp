#include "gaugeloom/expect/neighbourhood.hpp"

#include <algorithm>

namespace gaugeloom {
namespace {

constexpr double kLeastCloseness = 0.3;

std::vector<NearbyGauge> candidates_of(std::size_t gauge, const Network& network,
                                       const NeighbourhoodOptions& options) {
  std::vector<NearbyGauge> all;
  for (std::size_t other = 0; other < network.size(); ++other) {
    if (other == gauge) continue;
    const double d = distance_m(network.gauges[gauge].position, network.gauges[other].position);
    if (d <= options.reach_m) all.push_back({other, d, 0});
  }
  const auto nearer = [&](const NearbyGauge& a, const NearbyGauge& b) {
    if (a.distance_m != b.distance_m) return a.distance_m < b.distance_m;
    return network.gauges[a.gauge].id < network.gauges[b.gauge].id;
  };
  const std::size_t kept = std::min(options.candidates, all.size());
  std::partial_sort(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(kept), all.end(),
                    nearer);
  all.resize(kept);
  return all;
}

void weigh(std::vector<NearbyGauge>& candidates, std::size_t used) {
  if (candidates.empty()) return;
  const std::size_t middle = (std::min(used, candidates.size()) - 1) / 2;
  const double soft_m = std::max(500.0, candidates[middle].distance_m / 2);
  for (NearbyGauge& n : candidates) {
    n.weight = 1e6 / (n.distance_m * n.distance_m + soft_m * soft_m);
  }
}

// Mean distance to the nearest `used`; 0 without any.
double mean_distance_m(const std::vector<NearbyGauge>& candidates, std::size_t used) {
  const std::size_t count = std::min(used, candidates.size());
  double sum = 0;
  for (std::size_t i = 0; i < count; ++i) sum += candidates[i].distance_m;
  return count > 0 ? sum / static_cast<double>(count) : 0;
}

std::vector<double> isolation_of(const std::vector<std::vector<NearbyGauge>>& of,
                                 std::size_t used) {
  std::vector<double> means;
  for (const auto& candidates : of) means.push_back(mean_distance_m(candidates, used));
  std::vector<double> sorted;  // of those that have neighbours
  for (const double mean : means)
    if (mean > 0) sorted.push_back(mean);
  std::sort(sorted.begin(), sorted.end());
  const double typical = sorted.empty() ? 0 : sorted[sorted.size() / 2];
  for (double& mean : means) mean = typical > 0 ? mean / typical : 0;
  return means;
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
  out.isolation = isolation_of(out.of, options.used);
  for (const double isolation : out.isolation)
    out.closeness.push_back(isolation > 0 ? std::clamp(1 / isolation, kLeastCloseness, 1.0) : 1.0);
  return out;
}

}  // namespace gaugeloom
