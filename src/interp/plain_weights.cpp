#include <algorithm>
#include <cmath>
#include <limits>

#include "gaugeloom/core/portable_math.hpp"
#include "interp/plain_weights_internal.hpp"

namespace gaugeloom {
namespace {

double power_of(double ratio, double power) {
  if (power == 2) return ratio * ratio;
  if (power == 1) return ratio;
  return portable_pow(ratio, power);
}

// With one neighbour there is nothing to solve.
double single_variance(const WeightRules& rules, const MetricPoint& target, std::size_t point) {
  const double to_target =
      pair_covariance(rules.variogram, distance_m(rules.points[point], target));
  return 2 * (rules.variogram.sill() - to_target) + rules.noise(point);
}

}  // namespace

double pair_covariance(const Variogram& variogram, double h_m) {
  return variogram.structured_covariance(h_m);
}

void inverse_distance_weights(std::span<const double> distances_m, double power,
                              std::span<double> weights) {
  if (distances_m.empty()) return;
  const double nearest = distances_m.front();
  double sum = 0;
  for (std::size_t i = 0; i < distances_m.size(); ++i) {
    if (nearest > 0) {
      weights[i] = power_of(nearest / distances_m[i], power);
    } else {
      weights[i] = distances_m[i] > 0 ? 0.0 : 1.0;
    }
    sum += weights[i];
  }
  for (double& weight : weights) weight /= sum;
}

bool PlainSolver::factorise(const WeightRules& rules, std::span<const std::size_t> neighbours) {
  size_ = neighbours.size();
  lower_.resize(size_ * (size_ + 1) / 2);
  const double sill = rules.variogram.sill();
  double* row = lower_.data();
  for (std::size_t i = 0; i < size_; row += ++i) {
    const MetricPoint& here = rules.points[neighbours[i]];
    const double* other = lower_.data();
    for (std::size_t j = 0; j < i; other += ++j) {
      double sum = pair_covariance(rules.variogram, distance_m(here, rules.points[neighbours[j]]));
      for (std::size_t l = 0; l < j; ++l) sum -= row[l] * other[l];
      row[j] = sum / other[j];
    }
    double pivot = sill + rules.noise(neighbours[i]);
    for (std::size_t l = 0; l < i; ++l) pivot -= row[l] * row[l];
    if (!(pivot > kSmallestPivotShare * sill)) return false;
    row[i] = std::sqrt(pivot);
  }
  return true;
}

void PlainSolver::substitute(std::span<double> rhs) const {
  const double* row = lower_.data();
  for (std::size_t i = 0; i < size_; row += ++i) {
    for (std::size_t j = 0; j < i; ++j) rhs[i] -= row[j] * rhs[j];
    rhs[i] /= row[i];
  }
  for (std::size_t i = size_; i-- > 0;) {
    row = lower_.data() + i * (i + 1) / 2;
    rhs[i] /= row[i];
    for (std::size_t j = 0; j < i; ++j) rhs[j] -= row[j] * rhs[i];
  }
}

bool PlainSolver::solve(const WeightRules& rules, const MetricPoint& target,
                        std::span<const std::size_t> neighbours, std::span<double> weights,
                        double& variance) {
  variance = std::numeric_limits<double>::quiet_NaN();
  to_target_.resize(neighbours.size());
  for (std::size_t i = 0; i < neighbours.size(); ++i)
    to_target_[i] = distance_m(rules.points[neighbours[i]], target);
  if (rules.options.method == InterpolationMethod::inverse_distance) {
    inverse_distance_weights(to_target_, rules.options.power, weights);
    return true;
  }
  if (neighbours.size() == 1) {
    weights[0] = 1;
    variance = single_variance(rules, target, neighbours[0]);
    return true;
  }
  for (double& value : to_target_) value = pair_covariance(rules.variogram, value);
  if (!factorise(rules, neighbours)) return false;
  std::copy(to_target_.begin(), to_target_.end(), weights.begin());
  substitute(weights);
  ones_.assign(size_, 1.0);
  substitute(ones_);
  double excess = -1;
  double ones_sum = 0;
  for (std::size_t i = 0; i < size_; ++i) {
    excess += weights[i];
    ones_sum += ones_[i];
  }
  const double lagrange = excess / ones_sum;
  variance = rules.variogram.sill() - lagrange;
  for (std::size_t i = 0; i < size_; ++i) {
    weights[i] -= lagrange * ones_[i];
    variance -= weights[i] * to_target_[i];
  }
  if (rules.options.negative_weights == NegativeWeights::drop)
    drop_negative(rules, target, neighbours, weights, variance);
  return true;
}

void PlainSolver::drop_negative(const WeightRules& rules, const MetricPoint& target,
                                std::span<const std::size_t> neighbours, std::span<double> weights,
                                double& variance) {
  if (std::all_of(weights.begin(), weights.end(), [](double w) { return w >= 0; })) return;
  double sum = 0;
  for (double& weight : weights) {
    weight = std::max(weight, 0.0);
    sum += weight;
  }
  const double sill = rules.variogram.sill();
  variance = sill;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    weights[i] /= sum;
    if (weights[i] == 0) continue;
    const MetricPoint& here = rules.points[neighbours[i]];
    double row = 0;
    for (std::size_t j = 0; j < i; ++j) {
      if (weights[j] == 0) continue;
      row += weights[j] *
             pair_covariance(rules.variogram, distance_m(here, rules.points[neighbours[j]]));
    }
    const double to_target = pair_covariance(rules.variogram, distance_m(here, target));
    variance +=
        weights[i] * (2 * (row - to_target) + weights[i] * (sill + rules.noise(neighbours[i])));
  }
}

}  // namespace gaugeloom
