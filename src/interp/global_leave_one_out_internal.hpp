#pragma once
// The leave-one-out over records when every other point is a neighbour: one inverse of the bordered
// matrix of all points serves every pattern of availability.
//
// With B that inverse, S the points with a value and M those without, the values y_M that make
// (B y)_M = 0 are the kriging estimates of M from S; then (B y)_i / D_i is the error of i in S,
// with D = B_SS - B_SM B_MM^-1 B_MS, and 1 / D_i its variance. So a pattern costs one factorisation
// of the size of M, and a step n^2 operations. Source: O. Dubrule, Math. Geology 15 (1983), p. 687;
// B_MM is the inverse of the covariance of the errors of M given S (H. Rue and L. Held, Gaussian
// Markov Random Fields, CRC 2005, section 2.2).

#include <Eigen/Dense>
#include <cstddef>

#include "interp/record_state_internal.hpp"

namespace gaugeloom {

class GlobalLeaveOneOut {
 public:
  // Kriging from all others, 2 points or more. Cost: n^3; four n x n matrices while it lasts.
  explicit GlobalLeaveOneOut(const RecordState& state);

  // False where the system of all points is too near to singular for its inverse to be trusted.
  bool reliable() const { return reliable_; }
  const Eigen::MatrixXd& inverse() const { return inverse_; }

  // Fills task.out. Memory: per thread 1 kB for each point, and up to n^2 doubles where many are
  // missing. Requires reliable().
  void run(const RecordTask& task) const;

 private:
  Eigen::MatrixXd inverse_;  // of the bordered matrix, without its border
  bool reliable_ = false;
};

}  // namespace gaugeloom
