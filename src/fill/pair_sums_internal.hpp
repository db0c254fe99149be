#pragma once
// Sums from which the fit between measured and estimated depths follows for any common factor.

#include <cmath>
#include <cstddef>
#include <limits>
#include <span>

namespace gaugeloom::fill_internal {

struct PairSums {
  double measured = 0;
  double estimated = 0;
  double measured_squared = 0;
  double product = 0;
  double estimated_squared = 0;
  std::size_t pairs = 0;
  std::size_t wet = 0;  // either of the two above 0

  void add(double measured_mm, double estimated_mm);
  void add(const PairSums& other);
  // Sum of squared errors with all estimates multiplied by `factor`.
  double squared_error(double factor) const;
  double rmse(double factor) const;      // over all pairs; NaN without one
  double wet_rmse(double factor) const;  // over wet pairs: dry ones have no error
  // 1 - squared error / squared deviation from the mean of the measured; NaN when that is 0.
  double skill(double factor) const;
};

// Adds every window of `window` steps in which all values of both rows are finite.
void add_windows(std::span<const float> measured_mm, std::span<const float> estimated_mm,
                 std::size_t window, PairSums& sums);

}  // namespace gaugeloom::fill_internal
