#include <gtest/gtest.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstdio>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/io/number_format.hpp"

namespace gaugeloom {
namespace {

// All digits of the exact binary value, then rounded half away from zero by hand, as at school.
std::string plain_fixed(double value, int decimals) {
  std::array<char, 1600> exact;
  const int size = std::snprintf(exact.data(), exact.size(), "%.1100f", std::fabs(value));
  std::string text(exact.data(), static_cast<std::size_t>(size));
  const std::size_t point = text.find('.');
  const std::size_t cut = point + 1 + static_cast<std::size_t>(decimals);
  const bool up = text[cut] >= '5';
  text.resize(decimals == 0 ? point : cut);
  for (std::size_t i = text.size(); up && i-- > 0;) {
    if (text[i] == '.') continue;
    if (text[i] != '9') {
      ++text[i];
      break;
    }
    text[i] = '0';
    if (i == 0) text.insert(0, "1");
  }
  const bool zero = text.find_first_of("123456789") == std::string::npos;
  return value < 0 && !zero ? "-" + text : text;
}

TEST(NumberFormat, AgreesWithRoundingAllDigitsByHand) {
  Random random("AgreesWithRoundingAllDigitsByHand");
  for (int i = 0; i < 3000; ++i) {
    SCOPED_TRACE(i);
    const int decimals = static_cast<int>(random.below(kMaxDecimals + 1));
    double value = random.normal() * std::ldexp(1.0, static_cast<int>(random.below(90)) - 38);
    if (random.chance(0.5))  // a tie: an odd number of half units of the last place, where exact
      value = std::ldexp(static_cast<double>(random.below(1 << 20)),
                         -static_cast<int>(random.below(11)));
    std::string text;
    append_fixed(text, value, decimals);
    ASSERT_EQ(text, plain_fixed(value, decimals));
  }
}

}  // namespace
}  // namespace gaugeloom
