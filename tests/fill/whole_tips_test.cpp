#include "fill/whole_tips_internal.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <numeric>
#include <vector>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

using fill_internal::to_whole_tips;

TEST(WholeTips, ByHand) {
  std::vector<long> depths{60, 60, 0, 150, 40};  // fallen so far: 60, 120, 120, 270, 310
  to_whole_tips(depths, 200, false);
  EXPECT_EQ(depths, (std::vector<long>{0, 200, 0, 0, 200}));
}

TEST(WholeTips, TheRestOfATotalStandsInTheLastWetStep) {
  std::vector<long> more{200, 50, 0};
  to_whole_tips(more, 200, true);
  EXPECT_EQ(more, (std::vector<long>{200, 50, 0}));
  std::vector<long> less{200, 150, 0};
  to_whole_tips(less, 200, true);
  EXPECT_EQ(less, (std::vector<long>{200, 150, 0}));
}

TEST(WholeTips, LawsOnRandomDepths) {
  Random random(17);
  for (int round = 0; round < 200; ++round) {
    std::vector<long> depths(40);
    for (long& depth : depths)
      if (random.uniform() < 0.4) depth = static_cast<long>(600 * random.uniform());
    const long bucket = round % 2 == 0 ? 200 : 254;
    for (const bool keep_total : {false, true}) {
      std::vector<long> tips = depths;
      to_whole_tips(tips, bucket, keep_total);
      long fallen = 0;
      long tipped = 0;
      int odd = 0;
      for (std::size_t i = 0; i < tips.size(); ++i) {
        EXPECT_GE(tips[i], 0);
        odd += tips[i] % bucket != 0 ? 1 : 0;
        fallen += depths[i];
        tipped += tips[i];
        EXPECT_LE(std::abs(fallen - tipped), keep_total ? bucket : bucket / 2);
      }
      EXPECT_LE(odd, keep_total ? 1 : 0);
      if (keep_total) {
        EXPECT_EQ(fallen, tipped);
      }
    }
  }
}

}  // namespace
}  // namespace gaugeloom
