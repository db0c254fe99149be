#include "interp/global_leave_one_out_internal.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>

#include "gaugeloom/core/parallel.hpp"
#include "interp/group_growth_internal.hpp"
#include "interp/kriging_system_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kWord = 64;          // steps worked on together, always as many columns
constexpr std::size_t kFewestPresent = 3;  // fewer are solved plainly

using Indices = std::vector<Eigen::Index>;

std::size_t to_size(Eigen::Index i) { return static_cast<std::size_t>(i); }

// What serves every step with one pattern of availability.
struct Pattern {
  Indices present, missing;
  Eigen::MatrixXd lower;           // L, with L L' = B_MM
  Eigen::MatrixXd half;            // L^-1 B_M.
  Eigen::VectorXd precision;       // D_i; has a meaning for present points only
  Eigen::VectorXd error_variance;  // of the missing points, in their order
};

// False when too many digits would be lost.
bool factorise(const Eigen::MatrixXd& inverse, Pattern& pattern) {
  pattern.precision = inverse.diagonal();
  if (pattern.missing.empty()) return true;
  const Eigen::MatrixXd among = inverse(pattern.missing, pattern.missing);
  const Eigen::LLT<Eigen::MatrixXd> factor(among);
  if (factor.info() != Eigen::Success) return false;
  pattern.lower = factor.matrixL();
  const Eigen::ArrayXd pivots = pattern.lower.diagonal().array().square();
  if (!(pivots > kReliableShare * among.diagonal().array()).all()) return false;
  const auto lower = pattern.lower.triangularView<Eigen::Lower>();
  pattern.half = inverse(pattern.missing, Eigen::all);
  lower.solveInPlace(pattern.half);
  pattern.precision -= pattern.half.colwise().squaredNorm().transpose();
  Eigen::MatrixXd root = Eigen::MatrixXd::Identity(among.rows(), among.rows());
  lower.solveInPlace(root);
  pattern.error_variance = root.colwise().squaredNorm().transpose();
  return true;
}

// The steps of one word of the availability bits.
class WordWork {
 public:
  WordWork(const RecordTask& task, const Eigen::MatrixXd& inverse, std::size_t word)
      : task_(task),
        inverse_(inverse),
        rules_(task.state.rules()),
        word_(word),
        steps_(std::min(kWord, task.steps - kWord * word)) {}

  void run() {
    load();
    const bool drop = rules_.options.negative_weights == NegativeWeights::drop;
    for (const auto& [bits, steps] : patterns_) {
      Pattern pattern = pattern_of(bits);
      const bool solved = pattern.present.size() >= kFewestPresent && factorise(inverse_, pattern);
      if (!solved) {
        for (const std::size_t step : steps) solve_plainly(pattern, step);
      } else if (drop) {
        weigh(pattern, steps);
      } else {
        for (const std::size_t step : steps) fill_missing(pattern, step);
        evaluate_later(std::move(pattern), steps);
      }
    }
    evaluate();
  }

 private:
  using Bits = std::vector<std::uint64_t>;

  void load() {
    const std::size_t points = task_.state.points.size();
    values_ = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(points), kWord);
    for (std::size_t step = 0; step < steps_; ++step) {
      Bits bits((points + 63) / 64);
      for (std::size_t p = 0; p < points; ++p) {
        if (!task_.available.test(p, kWord * word_ + step)) continue;
        bits[p / 64] |= std::uint64_t{1} << (p % 64);
        value(p, step) = static_cast<double>(task_.row(p)[kWord * word_ + step]);
      }
      patterns_[std::move(bits)].push_back(step);
    }
  }

  double& value(std::size_t point, std::size_t step) {
    return values_(static_cast<Eigen::Index>(point), static_cast<Eigen::Index>(step));
  }

  Pattern pattern_of(const Bits& bits) const {
    Pattern pattern;
    for (std::size_t p = 0; p < task_.state.points.size(); ++p) {
      const bool present = ((bits[p / 64] >> (p % 64)) & 1U) != 0;
      (present ? pattern.present : pattern.missing).push_back(static_cast<Eigen::Index>(p));
    }
    return pattern;
  }

  // y_M = -B_MM^-1 B_MS y_S.
  void fill_missing(const Pattern& pattern, std::size_t step) {
    if (pattern.missing.empty()) return;
    auto column = values_.col(static_cast<Eigen::Index>(step));
    Eigen::VectorXd filled =
        Eigen::VectorXd::Zero(static_cast<Eigen::Index>(pattern.missing.size()));
    for (const Eigen::Index i : pattern.present) filled += column[i] * pattern.half.col(i);
    pattern.lower.triangularView<Eigen::Lower>().transpose().solveInPlace(filled);
    column(pattern.missing) = -filled;
  }

  struct Later {
    Pattern pattern;
    std::vector<std::size_t> steps;
  };

  void evaluate_later(Pattern pattern, const std::vector<std::size_t>& steps) {
    pattern.lower.resize(0, 0);
    pattern.half.resize(0, 0);
    later_.push_back({std::move(pattern), steps});
  }

  void evaluate() {
    if (later_.empty()) return;
    const Eigen::MatrixXd scaled_errors = inverse_ * values_;
    for (const Later& later : later_)
      for (const std::size_t step : later.steps) {
        const auto column = scaled_errors.col(static_cast<Eigen::Index>(step));
        const Pattern& pattern = later.pattern;
        for (const Eigen::Index i : pattern.present) {
          if (!is_reliable(pattern, i)) {
            solve_plainly(pattern, to_size(i), step);
          } else {
            put(to_size(i), step, value(to_size(i), step) - column[i] / pattern.precision[i],
                1 / pattern.precision[i], pattern.present.size() - 1);
          }
        }
        for (std::size_t m = 0; m < pattern.missing.size(); ++m) {
          const std::size_t point = to_size(pattern.missing[m]);
          put(point, step, value(point, step), pattern.error_variance[static_cast<Eigen::Index>(m)],
              pattern.present.size());
        }
      }
  }

  bool is_reliable(const Pattern& pattern, Eigen::Index i) const {
    return pattern.precision[i] > kReliableShare * inverse_(i, i);
  }

  // `variance` with the point's own noise, which the results leave out.
  void put(std::size_t point, std::size_t step, double estimate, double variance,
           std::size_t neighbours) {
    put_result(point, step, estimate, std::max(0.0, variance - rules_.noise(point)), neighbours);
  }

  void put_result(std::size_t point, std::size_t step, double estimate, double variance,
                  std::size_t neighbours) {
    const std::size_t at = point * task_.steps + kWord * word_ + step;
    task_.out.estimate[at] = estimate;
    task_.out.variance[at] = variance;
    task_.out.neighbours[at] = static_cast<std::uint16_t>(std::min<std::size_t>(neighbours, 65535));
  }

  // --- dropped weights: row by row, since every row is another's ---

  void weigh(const Pattern& pattern, const std::vector<std::size_t>& steps) {
    Eigen::MatrixXd solved = pattern.half;  // B_MM^-1 B_M.
    if (!pattern.missing.empty())
      pattern.lower.triangularView<Eigen::Lower>().transpose().solveInPlace(solved);
    for (const Eigen::Index i : pattern.present) {
      if (!is_reliable(pattern, i)) {
        for (const std::size_t step : steps) solve_plainly(pattern, to_size(i), step);
        continue;
      }
      Eigen::RowVectorXd row = inverse_.row(i);
      if (!pattern.missing.empty()) row -= pattern.half.col(i).transpose() * pattern.half;
      weigh_point(pattern, i, -row / pattern.precision[i], 1 / pattern.precision[i], steps);
    }
    for (std::size_t m = 0; m < pattern.missing.size(); ++m) {
      const auto at = static_cast<Eigen::Index>(m);
      weigh_point(pattern, pattern.missing[m], -solved.row(at), pattern.error_variance[at], steps);
    }
  }

  void weigh_point(const Pattern& pattern, Eigen::Index point, const Eigen::RowVectorXd& row,
                   double error_variance, const std::vector<std::size_t>& steps) {
    others_of(pattern, to_size(point));
    for (std::size_t i = 0; i < others_.size(); ++i)
      weights_[i] = row[static_cast<Eigen::Index>(others_[i])];
    double variance = std::max(0.0, error_variance - rules_.noise(to_size(point)));
    plain_.drop_negative(rules_, rules_.points[to_size(point)], others_, weights_, variance);
    for (const std::size_t step : steps)
      put_result(to_size(point), step, weighted_sum(step), variance, others_.size());
  }

  // --- one by one ---

  void solve_plainly(const Pattern& pattern, std::size_t step) {
    for (std::size_t p = 0; p < rules_.points.size(); ++p) solve_plainly(pattern, p, step);
  }

  void solve_plainly(const Pattern& pattern, std::size_t point, std::size_t step) {
    constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
    others_of(pattern, point);
    double variance = kNaN;
    const bool solved =
        !others_.empty() && plain_.solve(rules_, rules_.points[point], others_, weights_, variance);
    if (solved)
      put_result(point, step, weighted_sum(step), variance, others_.size());
    else
      put_result(point, step, kNaN, kNaN, 0);
  }

  void others_of(const Pattern& pattern, std::size_t point) {
    others_.clear();
    for (const Eigen::Index i : pattern.present)
      if (to_size(i) != point) others_.push_back(to_size(i));
    weights_.resize(others_.size());
  }

  double weighted_sum(std::size_t step) {
    double sum = 0;
    for (std::size_t i = 0; i < others_.size(); ++i) sum += weights_[i] * value(others_[i], step);
    return sum;
  }

  const RecordTask& task_;
  const Eigen::MatrixXd& inverse_;
  WeightRules rules_;
  std::size_t word_;
  std::size_t steps_;
  Eigen::MatrixXd values_;  // point by step of the word; 0 where missing, until filled
  std::map<Bits, std::vector<std::size_t>> patterns_;  // their steps
  std::vector<Later> later_;
  PlainSolver plain_;
  std::vector<std::size_t> others_;
  std::vector<double> weights_;  // beside others_
};

}  // namespace

GlobalLeaveOneOut::GlobalLeaveOneOut(const RecordState& state) {
  std::vector<double> noise;
  for (std::size_t p = 0; p < state.points.size(); ++p) noise.push_back(state.rules().noise(p));
  std::vector<std::size_t> all(state.points.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  const KrigingSystem system(state.points, noise, std::move(all), state.variogram);
  if (system.status() != EstimateStatus::ok) return;
  inverse_ = system.bordered_inverse();
  const double most = 1 / (kReliableShare * state.variogram.sill());
  reliable_ = inverse_.diagonal().minCoeff() > 0 && inverse_.diagonal().maxCoeff() < most;
}

void GlobalLeaveOneOut::run(const RecordTask& task) const {
  parallel_for(task.available.words, task.state.options.threads,
               [&](std::size_t word) { WordWork(task, inverse_, word).run(); });
}

}  // namespace gaugeloom
