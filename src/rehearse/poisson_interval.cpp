#include "gaugeloom/rehearse/poisson_interval.hpp"

#include <algorithm>
#include <limits>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kTail = 0.025;

// P(N <= count) for a Poisson variable.
double at_most(std::size_t count, double mean) {
  double log_term = -mean;
  double sum = portable_exp(log_term);
  for (std::size_t k = 1; k <= count; ++k) {
    log_term += portable_log(mean / static_cast<double>(k));
    sum += portable_exp(log_term);
  }
  return std::min(1.0, sum);
}

// The mean at which P(N <= count) is `probability`; it falls as the mean grows.
double mean_with(std::size_t count, double probability) {
  double low = 1e-9;
  double high = static_cast<double>(count) * 2 + 20;
  for (int i = 0; i < 80; ++i) {
    const double middle = (low + high) / 2;
    (at_most(count, middle) > probability ? low : high) = middle;
  }
  return (low + high) / 2;
}

}  // namespace

RateInterval poisson_interval(std::size_t count, double exposure) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  if (!(exposure > 0)) return {kNan, kNan, kNan};
  const double low = count == 0 ? 0 : mean_with(count - 1, 1 - kTail);
  return {static_cast<double>(count) / exposure, low / exposure,
          mean_with(count, kTail) / exposure};
}

}  // namespace gaugeloom
