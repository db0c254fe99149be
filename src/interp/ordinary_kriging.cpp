#include "gaugeloom/interp/ordinary_kriging.hpp"

#include <fmt/format.h>

#include "gaugeloom/core/assert.hpp"
#include "interp/kriging_system_internal.hpp"
#include "interp/neighbours_internal.hpp"

namespace gaugeloom {
namespace {

// The covariances between a set and a target, and how many of the set stand on the target.
struct TargetCovariances {
  Eigen::VectorXd c;
  std::size_t gauges_on_target = 0;
  std::size_t last_on_target = 0;  // position in the set
};

TargetCovariances target_covariances(std::span<const MetricPoint> gauges,
                                     const std::vector<std::size_t>& set, const MetricPoint& target,
                                     const Variogram& variogram) {
  TargetCovariances found;
  std::vector<double> distances;
  for (std::size_t i = 0; i < set.size(); ++i) {
    distances.push_back(distance_m(gauges[set[i]], target));
    if (distances.back() > 0) continue;
    ++found.gauges_on_target;
    found.last_on_target = i;
  }
  found.c.resize(static_cast<Eigen::Index>(set.size()));
  structured_covariances(variogram, distances, {found.c.data(), set.size()});
  if (found.gauges_on_target == 1)
    found.c[static_cast<Eigen::Index>(found.last_on_target)] = variogram.sill();
  return found;
}

// All weight on the gauge that the target stands on: exactly, not but for rounding.
void make_exact(KrigingWeights& weights, std::size_t position) {
  weights.weights.assign(weights.weights.size(), 0.0);
  weights.weights[position] = 1;
  weights.variance = 0;
  weights.lagrange = 0;
}

KrigingWeights weights_from(const KrigingSystem& system, std::span<const MetricPoint> gauges,
                            std::span<const double> measurement_variance, const MetricPoint& target,
                            const Variogram& variogram, const KrigingOptions& options) {
  const auto to_target = target_covariances(gauges, system.set(), target, variogram);
  KrigingWeights weights = system.solve(to_target.c, variogram.sill(), options.negative_weights);
  if (weights.status != EstimateStatus::ok || to_target.gauges_on_target != 1) return weights;
  const std::size_t gauge = system.set()[to_target.last_on_target];
  if (measurement_variance.empty() || measurement_variance[gauge] == 0)
    make_exact(weights, to_target.last_on_target);
  return weights;
}

KrigingSystem nearest_system(std::span<const MetricPoint> gauges,
                             std::span<const double> measurement_variance,
                             const MetricPoint& target, const Variogram& variogram, int count) {
  return {gauges, measurement_variance,
          nearest_gauges(gauges, all_indices(gauges.size()), target, count), variogram};
}

}  // namespace

std::optional<std::string> KrigingOptions::problem() const {
  if (max_neighbours < 0)
    return fmt::format("max_neighbours is {}; give 1 or more, or 0 for all", max_neighbours);
  return std::nullopt;
}

KrigingWeights kriging_weights(std::span<const MetricPoint> gauges,
                               std::span<const double> measurement_variance,
                               const MetricPoint& target, const Variogram& variogram,
                               const KrigingOptions& options) {
  require_valid(variogram, options);
  const auto system =
      nearest_system(gauges, measurement_variance, target, variogram, options.max_neighbours);
  return weights_from(system, gauges, measurement_variance, target, variogram, options);
}

std::vector<Estimate> ordinary_kriging(std::span<const MetricPoint> gauges,
                                       std::span<const double> values,
                                       std::span<const double> measurement_variance,
                                       std::span<const MetricPoint> targets,
                                       const Variogram& variogram, const KrigingOptions& options) {
  GAUGELOOM_ASSERT(values.size() == gauges.size());
  require_valid(variogram, options);
  const auto count = static_cast<std::size_t>(options.max_neighbours);
  const bool one_system = count == 0 || count >= gauges.size();
  std::optional<KrigingSystem> system;
  std::vector<Estimate> estimates;
  estimates.reserve(targets.size());
  for (const MetricPoint& target : targets) {
    if (!system || !one_system)
      system.emplace(
          nearest_system(gauges, measurement_variance, target, variogram, options.max_neighbours));
    estimates.push_back(apply_weights(
        weights_from(*system, gauges, measurement_variance, target, variogram, options), values));
  }
  return estimates;
}

}  // namespace gaugeloom
