#include "gaugeloom/io/number_format.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace gaugeloom {
namespace {

std::string fixed(double value, int decimals) {
  std::string text;
  append_fixed(text, value, decimals);
  return text;
}

TEST(NumberFormat, RoundsTheExactBinaryValueHalfAwayFromZero) {
  EXPECT_EQ(fixed(0.125, 2), "0.13");
  EXPECT_EQ(fixed(-0.125, 2), "-0.13");
  EXPECT_EQ(fixed(0.5, 0), "1");
  EXPECT_EQ(fixed(2.5, 0), "3");
  EXPECT_EQ(fixed(1.005, 2), "1.00");  // the nearest double lies below 1.005
  EXPECT_EQ(fixed(2.675, 2), "2.67");  // and that one below 2.675
  EXPECT_EQ(fixed(static_cast<double>(0.1F), 3), "0.100");
  EXPECT_EQ(fixed(999.9996, 3), "1000.000");
  EXPECT_EQ(fixed(2251799813685248.5, 0), "2251799813685249");
  EXPECT_EQ(fixed(123456789.123456789, 9), "123456789.123456791");
}

TEST(NumberFormat, WritesNoSignBeforeZero) {
  EXPECT_EQ(fixed(-0.0001, 2), "0.00");
  EXPECT_EQ(fixed(-0.0, 3), "0.000");
  EXPECT_EQ(fixed(std::numeric_limits<double>::denorm_min(), 9), "0.000000000");
}

TEST(NumberFormat, WritesNothingForNaN) {
  EXPECT_EQ(fixed(std::nan(""), 3), "");
  EXPECT_EQ(fixed(-std::numeric_limits<double>::infinity(), 3), "-inf");
}

TEST(NumberFormat, WritesLargeValuesInFull) {
  EXPECT_EQ(fixed(9007199254740992.0, 2), "9007199254740992.00");
  EXPECT_EQ(fixed(-1e22, 1), "-10000000000000000000000.0");
  EXPECT_EQ(fixed(std::numeric_limits<double>::max(), 9).size(), 319U);  // 309 digits, point, 9
}

TEST(NumberFormat, WritesWholeNumbers) {
  std::string text;
  append_integer(text, std::numeric_limits<long long>::min());
  EXPECT_EQ(text, "-9223372036854775808");
}

}  // namespace
}  // namespace gaugeloom
