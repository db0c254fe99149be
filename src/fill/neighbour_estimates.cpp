#include "fill/neighbour_estimates_internal.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <unordered_map>

#include "gaugeloom/interp/ordinary_kriging.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr double kNearestDistanceM = 1;  // two gauges on one spot: no infinite weight
constexpr double kReach = 0.85;          // share of the sill beyond which neighbours say nothing

std::vector<std::size_t> set_bits(std::uint64_t mask) {
  std::vector<std::size_t> bits;
  for (; mask != 0; mask &= mask - 1)
    bits.push_back(static_cast<std::size_t>(std::countr_zero(mask)));
  return bits;
}

std::vector<double> inverse_distance_weights(const Neighbourhood& around,
                                             std::span<const std::size_t> chosen) {
  std::vector<double> weights;
  double sum = 0;
  for (const std::size_t c : chosen) {
    const double d = std::max(kNearestDistanceM, around.distances_m[c]);
    weights.push_back(1 / (d * d));
    sum += weights.back();
  }
  for (double& w : weights) w /= sum;
  return weights;
}

// In the order of the positions; empty when the system is singular.
std::vector<double> ordinary_kriging_weights(std::span<const MetricPoint> positions,
                                             const MetricPoint& target, const WeightRule& rule) {
  const KrigingWeights kriged =
      kriging_weights(positions, {}, target, rule.variogram, {0, NegativeWeights::drop});
  if (kriged.status != EstimateStatus::ok) return {};
  std::vector<double> weights(positions.size(), 0);
  for (std::size_t i = 0; i < kriged.gauges.size(); ++i)
    weights[kriged.gauges[i]] = kriged.weights[i];
  return weights;
}

// Error variance of any weights that sum to 1, of a new observation at the target.
double error_variance(std::span<const MetricPoint> positions, std::span<const double> weights,
                      const MetricPoint& target, const Variogram& v) {
  double variance = v.sill();
  for (std::size_t i = 0; i < weights.size(); ++i) {
    variance -= 2 * weights[i] * v.structured_covariance(distance_m(positions[i], target));
    variance += weights[i] * weights[i] * v.sill();
    for (std::size_t j = 0; j < i; ++j)
      variance += 2 * weights[i] * weights[j] *
                  v.structured_covariance(distance_m(positions[i], positions[j]));
  }
  return variance;
}

bool in_one_quadrant(const Neighbourhood& around, std::span<const std::size_t> chosen) {
  unsigned quadrants = 0;
  for (const std::size_t c : chosen) {
    const bool east = around.positions[c].x_m >= around.target.x_m;
    const bool north = around.positions[c].y_m >= around.target.y_m;
    quadrants |= 1U << ((east ? 1U : 0U) + (north ? 2U : 0U));
  }
  return std::popcount(quadrants) <= 1;
}

Support support_of(const Neighbourhood& around, std::span<const std::size_t> chosen,
                   double variance, const WeightRule& rule) {
  if (chosen.size() < 3) return Support::few_neighbours;
  if (around.distances_m[chosen.front()] > rule.max_lone_side_m && in_one_quadrant(around, chosen))
    return Support::one_sided;
  const Variogram& v = rule.reach;
  if (variance - v.nugget > kReach * (v.sill() - v.nugget)) return Support::beyond_reach;
  return Support::enough;
}

}  // namespace

Weights neighbour_weights(const Neighbourhood& around, std::uint64_t mask, const WeightRule& rule) {
  const std::vector<std::size_t> chosen = set_bits(mask);
  Weights result;
  if (chosen.empty()) return result;
  std::vector<MetricPoint> positions;
  for (const std::size_t c : chosen) {
    positions.push_back(around.positions[c]);
    result.rows.push_back(around.candidates[c]);
  }
  if (rule.kriging) result.weights = ordinary_kriging_weights(positions, around.target, rule);
  if (result.weights.empty()) result.weights = inverse_distance_weights(around, chosen);
  result.variance = error_variance(positions, result.weights, around.target, rule.reach);
  result.support = support_of(around, chosen, result.variance, rule);
  return result;
}

ScaledRain scaled_rain(const RainTable& depths, std::span<const double> ratios) {
  ScaledRain rain;
  rain.steps = depths.step_count();
  rain.amount.resize(depths.values().size());
  rain.root.resize(depths.values().size());
  for (std::size_t g = 0; g < depths.gauge_count(); ++g) {
    const auto scale = static_cast<float>(1 / ratios[g]);
    const auto row = depths.row(g);
    for (std::size_t s = 0; s < rain.steps; ++s) {
      const float amount = row[s] * scale;
      rain.amount[g * rain.steps + s] = amount;
      rain.root[g * rain.steps + s] = std::sqrt(amount);
    }
  }
  return rain;
}

NeighbourEstimates neighbour_estimates(const Neighbourhood& around, const ScaledRain& rain,
                                       const WeightRule& rule) {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  NeighbourEstimates e;
  e.amount.assign(rain.steps, nan);
  e.root = e.wet_share = e.variance = e.amount;
  e.support.assign(rain.steps, Support::few_neighbours);
  std::unordered_map<std::uint64_t, Weights> known;
  for (const DonorRun& run : around.runs) {
    if (run.chosen == 0) continue;
    auto found = known.find(run.chosen);
    if (found == known.end())
      found = known.emplace(run.chosen, neighbour_weights(around, run.chosen, rule)).first;
    const Weights& weights = found->second;
    for (std::size_t s = run.first; s < run.last; ++s) {
      e.amount[s] = e.root[s] = e.wet_share[s] = 0;
      e.variance[s] = static_cast<float>(weights.variance);
      e.support[s] = weights.support;
    }
    for (std::size_t i = 0; i < weights.rows.size(); ++i) {
      const auto w = static_cast<float>(weights.weights[i]);
      const float* amount = rain.amount.data() + weights.rows[i] * rain.steps;
      const float* root = rain.root.data() + weights.rows[i] * rain.steps;
      for (std::size_t s = run.first; s < run.last; ++s) {
        e.amount[s] += w * amount[s];
        e.root[s] += w * root[s];
        e.wet_share[s] += amount[s] > 0 ? w : 0.0F;
      }
    }
  }
  return e;
}

}  // namespace gaugeloom::fill_internal
