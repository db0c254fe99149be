#pragma once
// exp and log that give the same bits on every x86-64: plain additions, multiplications and
// divisions in a fixed order. The C library picks another routine on processors with FMA, and its
// last bit then differs; what enters our outputs goes through these.
// Method: argument reduction by ln 2, then a series; errors below 2 units in the last place (a
// test compares with long double).

namespace gaugeloom {

double portable_exp(double x) noexcept;  // 0 below -745, infinity above 709.78; NaN stays NaN
double portable_log(double x) noexcept;  // -infinity at 0, NaN below
double portable_pow(double base, double power) noexcept;  // base >= 0; exp(power * log(base))

}  // namespace gaugeloom
