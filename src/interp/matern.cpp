#include <algorithm>
#include <array>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"
#include "interp/matern_internal.hpp"

namespace gaugeloom {
namespace {

// The step of the trapezoidal rule. Its error is about exp(-pi^2 / step) by the width of the strip,
// and exp(-2 pi^2 / (x step^2)) where the integrand is a narrow bell: both below rounding.
double step_for(double x) { return x < 23 ? 0.125 : 0.6 / std::sqrt(x); }

constexpr double kNegligible = -50;  // exponent, against the largest term, below which a term is 0

// exp(v shift) K_v(x); shift = log(x / 2) keeps every term in range however small x is.
double shifted_bessel_k(double order, double x, double shift) {
  const double step = step_for(x);
  const double growth = portable_exp(step);
  double up = 1;  // exp(t)
  double largest = -x + order * shift;
  double sum = 0.5 * portable_exp(largest);  // t = 0, half weight
  for (int i = 1; i < 8000; ++i) {
    const double t = i * step;
    up *= growth;
    const double decay = -x * 0.5 * (up + 1 / up) + order * shift;
    const double exponent = decay + order * t;
    if (exponent < largest + kNegligible) break;
    largest = std::max(largest, exponent);
    sum += 0.5 * (portable_exp(exponent) + portable_exp(decay - order * t));
  }
  return sum * step;
}

}  // namespace

double portable_gamma(double x) {
  if (x < 0.5) return portable_gamma(x + 1) / x;
  // g = 7, nine terms; the coefficients are those in common use.
  constexpr std::array<double, 9> kTerms = {
      0.99999999999980993,  676.5203681218851,     -1259.1392167224028,
      771.32342877765313,   -176.61502916214059,   12.507343278686905,
      -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7};
  constexpr double kRootTwoPi = 2.5066282746310005;
  double sum = kTerms[0];
  for (std::size_t i = 1; i < kTerms.size(); ++i)
    sum += kTerms[i] / (x - 1 + static_cast<double>(i));
  const double base = x + 6.5;
  return kRootTwoPi * portable_pow(base, x - 0.5) * portable_exp(-base) * sum;
}

double bessel_k(double order, double x) { return shifted_bessel_k(order, x, 0); }

MaternCorrelation::MaternCorrelation(double smoothness)
    : smoothness_(smoothness), scale_(2 / portable_gamma(smoothness)) {}

double MaternCorrelation::operator()(double ratio) const {
  if (ratio > 800) return 0;
  if (smoothness_ == 0.5) return portable_exp(-ratio);
  if (smoothness_ == 1.5) return (1 + ratio) * portable_exp(-ratio);
  if (smoothness_ == 2.5) return (1 + ratio + ratio * ratio / 3) * portable_exp(-ratio);
  if (ratio < 1e-100) return 1;
  const double value = scale_ * shifted_bessel_k(smoothness_, ratio, portable_log(0.5 * ratio));
  return std::min(value, 1.0);
}

}  // namespace gaugeloom
