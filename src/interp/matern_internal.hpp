#pragma once
// The Matern correlation, the same bits on every processor.
// Sources: M. Abramowitz and I. Stegun, Handbook of Mathematical Functions, 9.6.24 (the integral)
// and 10.2.15 ff. (half-integer orders); C. Lanczos, SIAM J. Numer. Anal. B 1 (1964), p. 86.

namespace gaugeloom {

// Gamma(x) for 0 < x <= 20; relative error below 1e-13.
double portable_gamma(double x);

// The modified Bessel function of the second kind for x > 0 and 0 <= order <= 10; relative error
// below 1e-12. The trapezoidal rule on K_v(x) = integral over t >= 0 of exp(-x cosh t) cosh(v t):
// the integrand is analytic in a strip and falls doubly exponentially, so that the rule is exact to
// rounding.
double bessel_k(double order, double x);

// rho(r) = 2^(1-v) / Gamma(v) r^v K_v(r) for r > 0; falls from 1 to 0.
class MaternCorrelation {
 public:
  explicit MaternCorrelation(double smoothness);
  double operator()(double ratio) const;

 private:
  double smoothness_;
  double scale_;  // 2 / Gamma(v)
};

}  // namespace gaugeloom
