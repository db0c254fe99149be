#pragma once
// Numbers with fixed decimals as text, the same bytes on every machine.

#include <string>

namespace gaugeloom {

inline constexpr int kMaxDecimals = 9;
inline constexpr int kLongestFixed = 330;  // characters that write_fixed may write at most

// Writes `value` with exactly `decimals` digits after the point to `out` and returns the end.
//
// Laws (each one is a test):
//   (1) the exact binary value is rounded, half away from zero: 0.125 with 2 decimals is 0.13;
//   (2) what rounds to zero has no sign: -0.0001 with 2 decimals is 0.00;
//   (3) NaN writes nothing: an empty field; infinities write inf and -inf.
// Requires:  0 <= decimals <= kMaxDecimals; room for kLongestFixed characters.
// Cost:      some 10 ns below 2^53; larger values take the slow way.
char* write_fixed(char* out, double value, int decimals);
// The same, at the end of a text.
void append_fixed(std::string& out, double value, int decimals);
// A whole number, in plain digits.
void append_integer(std::string& out, long long value);

}  // namespace gaugeloom
