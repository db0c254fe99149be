#pragma once
// Numbers below half a million with six decimals, fast: the same bytes as write_fixed(out, value,
// 6).

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

#include "gaugeloom/io/number_format.hpp"

namespace gaugeloom {

struct ThreeDigits {
  std::array<std::array<char, 4>, 1000> padded;   // "007"
  std::array<std::array<char, 4>, 1000> natural;  // "7", its length at [3]
};

consteval ThreeDigits three_digits() {
  ThreeDigits made{};
  for (int i = 0; i < 1000; ++i) {
    const auto at = static_cast<std::size_t>(i);
    const std::array<char, 3> digits = {static_cast<char>('0' + i / 100),
                                        static_cast<char>('0' + i / 10 % 10),
                                        static_cast<char>('0' + i % 10)};
    made.padded[at] = {digits[0], digits[1], digits[2], 0};
    const int skipped = i >= 100 ? 0 : (i >= 10 ? 1 : 2);
    for (int d = skipped; d < 3; ++d)
      made.natural[at][static_cast<std::size_t>(d - skipped)] = digits[static_cast<std::size_t>(d)];
    made.natural[at][3] = static_cast<char>(3 - skipped);
  }
  return made;
}
inline constexpr ThreeDigits kThreeDigits = three_digits();

// |value| in millionths, rounded half away from zero. Requires |value| < 2^19.
inline std::uint64_t millionths(std::uint64_t bits) {
  const auto exponent = static_cast<int>((bits >> 52) & 0x7ffU);
  if (exponent < 1023 - 21) return 0;  // below 2^-21, which is below half a millionth
  const std::uint64_t mantissa = (bits & 0xfffffffffffffU) | (std::uint64_t{1} << 52);
  __extension__ using Wide = unsigned __int128;
  const int shift = 1023 + 52 - exponent;  // 34 to 73
  const Wide product = static_cast<Wide>(mantissa) * 1000000U;
  return static_cast<std::uint64_t>((product + (Wide{1} << (shift - 1))) >> shift);
}

// Needs room for kLongestFixed characters.
inline char* write_six_decimals(char* out, double value) {
  const auto bits = std::bit_cast<std::uint64_t>(value);
  if (((bits >> 52) & 0x7ffU) >= 1023 + 19) return write_fixed(out, value, 6);
  const std::uint64_t scaled = millionths(bits);
  *out = '-';
  out += static_cast<unsigned>(bits >> 63) & static_cast<unsigned>(scaled != 0);
  const auto whole = static_cast<std::uint32_t>(scaled / 1000000);
  const auto rest = static_cast<std::uint32_t>(scaled % 1000000);
  if (whole >= 1000) {
    const auto& thousands = kThreeDigits.natural[whole / 1000];
    std::memcpy(out, thousands.data(), 4);
    out += thousands[3];
    std::memcpy(out, kThreeDigits.padded[whole % 1000].data(), 4);
    out += 3;
  } else {
    const auto& digits = kThreeDigits.natural[whole];
    std::memcpy(out, digits.data(), 4);
    out += digits[3];
  }
  *out = '.';
  std::memcpy(out + 1, kThreeDigits.padded[rest / 1000].data(), 4);
  std::memcpy(out + 4, kThreeDigits.padded[rest % 1000].data(), 4);
  return out + 7;
}

}  // namespace gaugeloom
