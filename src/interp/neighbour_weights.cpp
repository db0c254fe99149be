#include "gaugeloom/interp/neighbour_weights.hpp"

#include <algorithm>
#include <utility>

#include "interp/plain_weights_internal.hpp"

namespace gaugeloom {

WeightSet weights_of(std::span<const MetricPoint> points, const MetricPoint& target,
                     std::span<const std::size_t> neighbours, const Variogram& variogram,
                     const RecordLeaveOneOutOptions& options) {
  WeightSet set;
  if (neighbours.empty()) return set;
  set.neighbours.assign(neighbours.begin(), neighbours.end());
  set.weights.resize(neighbours.size());
  PlainSolver solver;
  const WeightRules rules{points, variogram, options};
  if (solver.solve(rules, target, neighbours, set.weights, set.variance)) {
    set.status = EstimateStatus::ok;
  } else {
    set.status = EstimateStatus::singular_system;
    set.weights.clear();
  }
  return set;
}

WeightSet neighbour_weights(std::span<const MetricPoint> points, const MetricPoint& target,
                            std::size_t left_out, std::span<const std::uint64_t> available,
                            const Variogram& variogram, const RecordLeaveOneOutOptions& options) {
  std::vector<std::pair<double, std::size_t>> candidates;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const bool is_there = available.empty() || ((available[i / 64] >> (i % 64)) & 1U) != 0;
    if (is_there && i != left_out) candidates.emplace_back(distance_m(points[i], target), i);
  }
  std::sort(candidates.begin(), candidates.end());
  const auto wanted = static_cast<std::size_t>(options.neighbours);
  if (wanted > 0 && candidates.size() > wanted) candidates.resize(wanted);
  std::vector<std::size_t> neighbours;
  for (const auto& [distance, index] : candidates) neighbours.push_back(index);
  return weights_of(points, target, neighbours, variogram, options);
}

}  // namespace gaugeloom
