#pragma once
// Small decimals from text, fast and exact: at most 15 digits make a whole number below 2^53, and
// dividing it by a power of ten up to 10^15 rounds once, to the nearest double.
// Source: W. D. Clinger, How to Read Floating Point Numbers Accurately, PLDI 1990, section 5.

#include <array>
#include <cstdint>
#include <cstring>
#include <limits>

namespace gaugeloom {

inline constexpr std::array<double, 16> kPowersOfTen = {
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

// Reads digits[.digits] or nothing (NaN) up to a comma, CR or newline and moves `at` there. False,
// with `at` anywhere, for all else: signs, exponents, quotes, spaces, more than 15 digits.
inline bool scan_depth(const char*& at, double& value) {
  std::uint64_t mantissa = 0;
  const char* p = at;
  unsigned digit = static_cast<unsigned char>(*p) - unsigned{'0'};
  for (; digit < 10; digit = static_cast<unsigned char>(*++p) - unsigned{'0'})
    mantissa = mantissa * 10 + digit;
  std::ptrdiff_t digits = p - at;
  std::ptrdiff_t decimals = 0;
  if (*p == '.') {
    const char* point = p;
    digit = static_cast<unsigned char>(*++p) - unsigned{'0'};
    for (; digit < 10; digit = static_cast<unsigned char>(*++p) - unsigned{'0'})
      mantissa = mantissa * 10 + digit;
    decimals = p - point - 1;
    digits += decimals;
    if (digits == 0) return false;
  }
  if (digits > 15 || (*p != ',' && *p != '\n' && *p != '\r')) return false;
  at = p;
  value = digits == 0
              ? std::numeric_limits<double>::quiet_NaN()
              : static_cast<double>(mantissa) / kPowersOfTen[static_cast<std::size_t>(decimals)];
  return true;
}

// Whether two texts of `length` bytes agree; both are readable to the next multiple of 8 bytes.
inline bool same_bytes(const char* a, const char* b, std::size_t length) {
  const auto word = [](const char* p) {
    std::uint64_t bits;
    std::memcpy(&bits, p, sizeof bits);
    return bits;
  };
  for (; length >= 8; length -= 8, a += 8, b += 8)
    if (word(a) != word(b)) return false;
  return length == 0 || ((word(a) ^ word(b)) << (64 - 8 * length)) == 0;
}

}  // namespace gaugeloom
