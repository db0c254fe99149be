#include <gtest/gtest.h>

#include <vector>

#include "fill/spread_total_internal.hpp"

namespace gaugeloom::fill_internal {
namespace {

TEST(SplitThousandths, GivesTheLargestRemaindersOneMore) {
  // 1.000 mm in thirds: 333.3 each; the first of three equal remainders gets the last thousandth.
  EXPECT_EQ(split_thousandths(1, std::vector<double>{1, 1, 1}), (std::vector<long>{334, 333, 333}));
  // 0.010 mm as 1 : 2 : 4 is 1.43, 2.86 and 5.71 thousandths: two are left, for 0.86 and 0.71.
  EXPECT_EQ(split_thousandths(0.01, std::vector<double>{1, 2, 4}), (std::vector<long>{1, 3, 6}));
}

TEST(SplitThousandths, GivesDrySteps0) {
  EXPECT_EQ(split_thousandths(0.003, std::vector<double>{0, 1, 0, 1}),
            (std::vector<long>{0, 2, 0, 1}));
  EXPECT_EQ(split_thousandths(0, std::vector<double>{0, 1}), (std::vector<long>{0, 0}));
}

}  // namespace
}  // namespace gaugeloom::fill_internal
