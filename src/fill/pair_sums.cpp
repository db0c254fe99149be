#include "fill/pair_sums_internal.hpp"

#include <algorithm>

namespace gaugeloom::fill_internal {

void PairSums::add(double measured_mm, double estimated_mm) {
  measured += measured_mm;
  estimated += estimated_mm;
  measured_squared += measured_mm * measured_mm;
  product += measured_mm * estimated_mm;
  estimated_squared += estimated_mm * estimated_mm;
  ++pairs;
  wet += measured_mm > 0 || estimated_mm > 0 ? 1 : 0;
}

void PairSums::add(const PairSums& other) {
  measured += other.measured;
  estimated += other.estimated;
  measured_squared += other.measured_squared;
  product += other.product;
  estimated_squared += other.estimated_squared;
  pairs += other.pairs;
  wet += other.wet;
}

double PairSums::squared_error(double factor) const {
  return std::max(0.0,
                  measured_squared - 2 * factor * product + factor * factor * estimated_squared);
}

double PairSums::rmse(double factor) const {
  if (pairs == 0) return std::numeric_limits<double>::quiet_NaN();
  return std::sqrt(squared_error(factor) / static_cast<double>(pairs));
}

double PairSums::wet_rmse(double factor) const {
  if (wet == 0) return std::numeric_limits<double>::quiet_NaN();
  return std::sqrt(squared_error(factor) / static_cast<double>(wet));
}

double PairSums::skill(double factor) const {
  const double spread = measured_squared - measured * measured / static_cast<double>(pairs);
  if (pairs == 0 || spread <= 0) return std::numeric_limits<double>::quiet_NaN();
  return 1 - squared_error(factor) / spread;
}

void add_windows(std::span<const float> measured_mm, std::span<const float> estimated_mm,
                 std::size_t window, PairSums& sums) {
  for (std::size_t first = 0; first + window <= measured_mm.size(); first += window) {
    double measured = 0;
    double estimated = 0;
    for (std::size_t s = first; s < first + window; ++s) {
      measured += static_cast<double>(measured_mm[s]);
      estimated += static_cast<double>(estimated_mm[s]);
    }
    if (std::isfinite(measured) && std::isfinite(estimated)) sums.add(measured, estimated);
  }
}

}  // namespace gaugeloom::fill_internal
