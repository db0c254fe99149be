#include "gaugeloom/io/number_format.hpp"

#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <cstring>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

__extension__ using Wide = unsigned __int128;

constexpr std::array<std::uint64_t, kMaxDecimals + 1> kPowersOfTen = {
    1, 10, 100, 1'000, 10'000, 100'000, 1'000'000, 10'000'000, 100'000'000, 1'000'000'000};

// |value| * 10^decimals, rounded half away from zero. Requires |value| < 2^53 and decimals <= 9,
// so that the product has at most 83 bits: exact in 128.
Wide scaled(double value, int decimals) {
  const auto bits = std::bit_cast<std::uint64_t>(value);
  const int biased = static_cast<int>((bits >> 52) & 0x7FF);
  const std::uint64_t fraction = bits & ((std::uint64_t{1} << 52) - 1);
  const std::uint64_t mantissa = biased == 0 ? fraction : fraction | (std::uint64_t{1} << 52);
  const int shift = 1075 - (biased == 0 ? 1 : biased);  // value = mantissa * 2^-shift
  if (shift >= 120) return 0;
  const Wide product = Wide{mantissa} * kPowersOfTen[static_cast<std::size_t>(decimals)];
  if (shift == 0) return product;
  return (product + (Wide{1} << (shift - 1))) >> shift;
}

// The digits of `number`, at least `least` of them with zeros in front.
char* write_digits(char* out, Wide number, int least) {
  std::array<char, 48> digits;
  std::size_t at = digits.size();
  const auto limit = Wide{UINT64_MAX};
  while (number > limit) {
    digits[--at] = static_cast<char>('0' + static_cast<int>(number % 10));
    number /= 10;
  }
  auto rest = static_cast<std::uint64_t>(number);
  while (rest > 0) {
    digits[--at] = static_cast<char>('0' + rest % 10);
    rest /= 10;
  }
  while (digits.size() - at < static_cast<std::size_t>(least)) digits[--at] = '0';
  const std::size_t count = digits.size() - at;
  std::memcpy(out, digits.data() + at, count);
  return out + count;
}

char* write_large(char* out, double value, int decimals) {
  return std::to_chars(out, out + kLongestFixed, value, std::chars_format::fixed, decimals).ptr;
}

}  // namespace

char* write_fixed(char* out, double value, int decimals) {
  GAUGELOOM_ASSERT(decimals >= 0 && decimals <= kMaxDecimals);
  if (std::isnan(value)) return out;
  if (std::isinf(value) || std::fabs(value) >= 9007199254740992.0)
    return write_large(out, value, decimals);
  const Wide number = scaled(value, decimals);
  if (value < 0 && number != 0) *out++ = '-';
  char* end = write_digits(out, number, decimals + 1);
  if (decimals == 0) return end;
  char* point = end - decimals;
  std::memmove(point + 1, point, static_cast<std::size_t>(decimals));
  *point = '.';
  return end + 1;
}

void append_fixed(std::string& out, double value, int decimals) {
  std::array<char, kLongestFixed> text;
  out.append(text.data(), write_fixed(text.data(), value, decimals));
}

void append_integer(std::string& out, long long value) {
  std::array<char, 24> text;
  out.append(text.data(), std::to_chars(text.data(), text.data() + text.size(), value).ptr);
}

}  // namespace gaugeloom
