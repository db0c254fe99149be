#include "interp/kriging_system_internal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

// Eigen asks the processor for its cache sizes and cuts large products accordingly, and with them
// the order of its sums. Fixed sizes give the same bits on every processor.
void fix_cache_sizes() {
  static const bool done = [] {
    Eigen::setCpuCacheSizes(32 * 1024, 512 * 1024, 4 * 1024 * 1024);
    return true;
  }();
  GAUGELOOM_ASSERT(done);
  static_cast<void>(done);
}

// Computed for the lower triangle, which the factorisation reads, and mirrored for the products.
Eigen::MatrixXd covariance_matrix(std::span<const MetricPoint> gauges,
                                  std::span<const double> measurement_variance,
                                  const std::vector<std::size_t>& set, const Variogram& variogram) {
  const auto n = static_cast<Eigen::Index>(set.size());
  Eigen::MatrixXd matrix(n, n);
  std::vector<double> distances, column;
  for (Eigen::Index j = 0; j < n; ++j) {
    const std::size_t gauge = set[static_cast<std::size_t>(j)];
    distances.clear();
    for (auto i = static_cast<std::size_t>(j) + 1; i < set.size(); ++i)
      distances.push_back(distance_m(gauges[set[i]], gauges[gauge]));
    column.resize(distances.size());
    structured_covariances(variogram, distances, column);
    const double own = measurement_variance.empty() ? 0.0 : measurement_variance[gauge];
    matrix(j, j) = variogram.sill() + own;
    for (Eigen::Index i = j + 1; i < n; ++i)
      matrix(i, j) = matrix(j, i) = column[static_cast<std::size_t>(i - j - 1)];
  }
  return matrix;
}

bool is_singular(const Eigen::LLT<Eigen::MatrixXd>& factor, double sill) {
  if (factor.info() != Eigen::Success) return true;
  const Eigen::VectorXd pivots = factor.matrixLLT().diagonal().array().square();
  return !(pivots.minCoeff() > kSingularPivot * sill);
}

// Term by term: Eigen's own sums group their terms by where a column lies in memory.
using Column = Eigen::Ref<const Eigen::VectorXd>;
double sum_of(const Column& a) { return std::accumulate(a.data(), a.data() + a.size(), 0.0); }
double dot(const Column& a, const Column& b) {
  return std::inner_product(a.data(), a.data() + a.size(), b.data(), 0.0);
}

// Negative weights to 0, the rest to sum 1.
void drop_negative(Eigen::VectorXd& weights) {
  weights = weights.cwiseMax(0.0);
  weights /= weights.sum();
}

}  // namespace

KrigingSystem::KrigingSystem(std::span<const MetricPoint> gauges,
                             std::span<const double> measurement_variance,
                             std::vector<std::size_t> set, const Variogram& variogram)
    : set_(std::move(set)) {
  GAUGELOOM_ASSERT(measurement_variance.empty() || measurement_variance.size() == gauges.size());
  if (set_.empty()) return;
  fix_cache_sizes();
  matrix_ = covariance_matrix(gauges, measurement_variance, set_, variogram);
  factor_.emplace(matrix_);
  if (is_singular(*factor_, variogram.sill())) {
    status_ = EstimateStatus::singular_system;
    return;
  }
  ones_solved_ = factor_->solve(Eigen::VectorXd::Ones(matrix_.rows()));
  ones_sum_ = ones_solved_.sum();
  status_ = EstimateStatus::ok;
}

KrigingWeights KrigingSystem::solve(const Eigen::VectorXd& c, double c0,
                                    NegativeWeights negative) const {
  KrigingWeights result;
  result.status = status_;
  if (status_ != EstimateStatus::ok) return result;
  const Eigen::VectorXd simple = factor_->solve(c);  // the weights without the condition of sum 1
  result.lagrange = (simple.sum() - 1) / ones_sum_;
  Eigen::VectorXd weights = simple - result.lagrange * ones_solved_;
  result.variance = c0 - weights.dot(c) - result.lagrange;
  if (negative == NegativeWeights::drop && weights.minCoeff() < 0) {
    drop_negative(weights);
    result.variance = c0 - 2 * weights.dot(c) + weights.dot(matrix_ * weights);
  }
  result.variance = std::max(result.variance, 0.0);  // rounding only
  result.gauges = set_;
  result.weights.assign(weights.begin(), weights.end());
  return result;
}

KrigingColumns KrigingSystem::solve_columns(const Eigen::MatrixXd& c, double c0,
                                            NegativeWeights negative) const {
  GAUGELOOM_ASSERT(status_ == EstimateStatus::ok);
  KrigingColumns result{factor_->solve(c), Eigen::VectorXd(c.cols())};
  for (Eigen::Index j = 0; j < c.cols(); ++j) {
    auto weights = result.weights.col(j);
    const double lagrange = (sum_of(weights) - 1) / ones_sum_;
    weights -= lagrange * ones_solved_;
    result.variance[j] = std::max(0.0, c0 - dot(weights, c.col(j)) - lagrange);
  }
  if (negative == NegativeWeights::drop) drop_columns(c, c0, result);
  return result;
}

void KrigingSystem::drop_columns(const Eigen::MatrixXd& c, double c0,
                                 KrigingColumns& columns) const {
  std::vector<Eigen::Index> dropped;
  for (Eigen::Index j = 0; j < c.cols(); ++j) {
    auto weights = columns.weights.col(j);
    if (weights.minCoeff() >= 0) continue;
    dropped.push_back(j);
    weights = weights.cwiseMax(0.0).eval();
    weights /= sum_of(weights);
  }
  if (dropped.empty()) return;
  const Eigen::MatrixXd spread = matrix_ * columns.weights;
  for (const Eigen::Index j : dropped) {
    const auto weights = columns.weights.col(j);
    columns.variance[j] =
        std::max(0.0, c0 - 2 * dot(weights, c.col(j)) + dot(weights, spread.col(j)));
  }
}

KrigingSystem::Dual KrigingSystem::dual(std::span<const double> values) const {
  GAUGELOOM_ASSERT(status_ == EstimateStatus::ok && values.size() == set_.size());
  Dual dual{Eigen::VectorXd(matrix_.rows()), 0};
  std::copy(values.begin(), values.end(), dual.weights.data());
  dual.mean = dot(ones_solved_, dual.weights) / ones_sum_;
  dual.weights = factor_->solve(dual.weights).eval() - dual.mean * ones_solved_;
  return dual;
}

Eigen::VectorXd KrigingSystem::kept_variances(const Eigen::MatrixXd& c, double c0) const {
  GAUGELOOM_ASSERT(status_ == EstimateStatus::ok);
  const Eigen::MatrixXd solved = factor_->matrixL().solve(c);
  Eigen::VectorXd variances(c.cols());
  for (Eigen::Index j = 0; j < c.cols(); ++j) {
    const double unbound = 1 - dot(ones_solved_, c.col(j));
    variances[j] =
        std::max(0.0, c0 - dot(solved.col(j), solved.col(j)) + unbound * unbound / ones_sum_);
  }
  return variances;
}

Eigen::MatrixXd KrigingSystem::bordered_inverse() const {
  const Eigen::Index n = matrix_.rows();
  Eigen::MatrixXd inverse = factor_->solve(Eigen::MatrixXd::Identity(n, n));
  inverse -= ones_solved_ * ones_solved_.transpose() / ones_sum_;
  return inverse;
}

void require_few_enough_for_all(std::size_t gauges) {
  if (gauges > kMostGlobalGauges)
    throw Error(ErrorCode::invalid_option,
                fmt::format("kriging from all gauges at once takes at most {}, and there are {}; "
                            "give --neighbours 64 or fewer",
                            kMostGlobalGauges, gauges));
}

void require_valid(const Variogram& variogram, const KrigingOptions& options) {
  if (const auto found = variogram.problem())
    throw Error(ErrorCode::invalid_option, "variogram: " + *found);
  if (const auto found = options.problem())
    throw Error(ErrorCode::invalid_option, "kriging: " + *found);
}

Estimate apply_weights(const KrigingWeights& weights, std::span<const double> values) {
  Estimate estimate;
  estimate.status = weights.status;
  if (weights.status != EstimateStatus::ok) return estimate;
  double sum = 0;
  for (std::size_t i = 0; i < weights.weights.size(); ++i)
    sum += weights.weights[i] * values[weights.gauges[i]];
  estimate.value = sum;
  estimate.variance = weights.variance;
  estimate.gauges_used = static_cast<int>(weights.weights.size());
  return estimate;
}

}  // namespace gaugeloom
