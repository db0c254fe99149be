#include "gaugeloom/core/portable_math.hpp"

#include <bit>
#include <cstdint>
#include <limits>

namespace gaugeloom {
namespace {

constexpr double kLn2High = 6.93147180369123816490e-01;  // ln 2 with 32 trailing zero bits ...
constexpr double kLn2Low = 1.90821492927058770002e-10;   // ... and the rest of it
constexpr double kInverseLn2 = 1.44269504088896338700;

// 2^power for -1074 <= power <= 1023.
double power_of_two(int power) noexcept {
  if (power >= -1022) return std::bit_cast<double>(static_cast<std::uint64_t>(power + 1023) << 52);
  return std::bit_cast<double>(std::uint64_t{1} << (power + 1074));
}

}  // namespace

double portable_exp(double x) noexcept {
  if (x != x) return x;
  if (x > 709.782712893384) return std::numeric_limits<double>::infinity();
  if (x < -745.2) return 0.0;
  const double scaled = x * kInverseLn2;
  const int power = static_cast<int>(scaled < 0 ? scaled - 0.5 : scaled + 0.5);
  const double high = x - power * kLn2High;
  const double low = power * kLn2Low;
  const double r = high - low;  // |r| <= 0.35
  double series = 1.0 / 6227020800.0;
  constexpr double kInverseFactorial[] = {1.0 / 479001600.0,
                                          1.0 / 39916800.0,
                                          1.0 / 3628800.0,
                                          1.0 / 362880.0,
                                          1.0 / 40320.0,
                                          1.0 / 5040.0,
                                          1.0 / 720.0,
                                          1.0 / 120.0,
                                          1.0 / 24.0,
                                          1.0 / 6.0,
                                          0.5};
  for (const double coefficient : kInverseFactorial) series = series * r + coefficient;
  const double correction = (high - r) - low;  // what rounding took from r
  const double value = 1.0 + (r + (series * r * r + correction));
  if (power > 1022) return value * power_of_two(power - 1) * 2.0;
  if (power >= -1021) return value * power_of_two(power);
  return value * power_of_two(power + 200) * power_of_two(-200);
}

double portable_log(double x) noexcept {
  if (x != x || x < 0) return std::numeric_limits<double>::quiet_NaN();
  if (x == 0) return -std::numeric_limits<double>::infinity();
  if (x == std::numeric_limits<double>::infinity()) return x;
  int power = 0;
  if (x < std::numeric_limits<double>::min()) {  // a subnormal number
    x *= 0x1.0p54;
    power = -54;
  }
  const auto bits = std::bit_cast<std::uint64_t>(x);
  power += static_cast<int>(bits >> 52) - 1023;
  double m = std::bit_cast<double>((bits & 0x000fffffffffffffULL) | 0x3ff0000000000000ULL);
  if (m > 1.4142135623730951) {
    m *= 0.5;
    ++power;
  }
  // log(m) = f - f^2/2 + s (f^2/2 + R), with f = m - 1 and R = 2 (s^2/3 + s^4/5 + ...).
  const double f = m - 1.0;
  const double s = f / (2.0 + f);
  const double z = s * s;
  double series = 1.0 / 25.0;
  for (int odd = 23; odd >= 3; odd -= 2) series = series * z + 1.0 / odd;
  const double half_square = 0.5 * f * f;
  const double rest = s * (half_square + 2.0 * z * series);
  return power * kLn2High - ((half_square - (rest + power * kLn2Low)) - f);
}

double portable_pow(double base, double power) noexcept {
  if (power == 0.0) return 1.0;
  if (base == 0.0) return power > 0 ? 0.0 : std::numeric_limits<double>::infinity();
  if (power == 1.0) return base;
  if (power == 2.0) return base * base;
  return portable_exp(power * portable_log(base));
}

}  // namespace gaugeloom
