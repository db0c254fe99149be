#include "gaugeloom/expect/half_year.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

using namespace std::chrono;

TEST(HalfYear, ChangesWithMayAndNovemberInUtc) {
  EXPECT_EQ(half_year(sys_days{2024y / 4 / 30} + 24h - microseconds(1)), 1U);
  EXPECT_EQ(half_year(sys_days{2024y / 5 / 1}), 0U);
  EXPECT_EQ(half_year(sys_days{2024y / 10 / 31}), 0U);
  EXPECT_EQ(half_year(sys_days{2024y / 11 / 1}), 1U);
  EXPECT_EQ(half_year(sys_days{2024y / 2 / 29}), 1U);
  EXPECT_EQ(half_year(sys_days{1969y / 7 / 20} + 20h), 0U);
}

}  // namespace
}  // namespace gaugeloom
