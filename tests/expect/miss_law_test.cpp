#include "gaugeloom/expect/miss_law.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

struct Case {
  const Network& network = support::healthy_network().network;
  RainTable hours = sums(support::healthy_network().table, 4);
  Neighbourhoods around = neighbourhoods(network);
  Exclusions none{network.size(), hours.step_count()};
  ExpectedDepths expected = expected_depths(hours, around, SiteRatios(network.size()), none, 1);
  MissLaw law = MissLaw::learned(hours, expected, none, 10, 1);
};

TEST(MissLaw, LearnsThatHealthyGaugesRarelyMissMuch) {
  const Case c;
  for (std::size_t wet = 0; wet < kMissWetEdges.size(); ++wet) {
    for (const bool before : {false, true}) {
      double last = 1;
      for (std::size_t depth = 0; depth < kMissDepthEdgesMm.size(); ++depth) {
        const double p = c.law.bin(depth, wet, before).probability;
        EXPECT_GT(p, 0);
        EXPECT_LE(p, last);  // never rises with the depth
        last = p;
      }
    }
  }
  EXPECT_LT(c.law.bin(7, 4, false).probability, 0.05);
  EXPECT_GT(c.law.bin(0, 0, false).probability, 0.5);
}

TEST(MissLaw, TellsNothingWithoutData) { EXPECT_EQ(MissLaw().nats(0, 10, 1, false), 0); }

TEST(MissLaw, TellsNothingFromADryNeighbourhood) {
  EXPECT_EQ(Case().law.nats(0, 0.01, 0, false), 0);
}

TEST(MissLaw, DoesNotLearnFromALongSilence) {
  Case c;
  for (std::size_t i = 500; i < 1500; ++i) c.hours.set(12, i, 0);
  const MissLaw law = MissLaw::learned(c.hours, c.expected, c.none, 10, 1);
  EXPECT_NEAR(law.bin(5, 4, false).probability, c.law.bin(5, 4, false).probability, 0.02);
}

TEST(MissLaw, ComesBackFromItsValues) {
  const MissLaw law = Case().law;
  const MissLaw again = MissLaw::from(law.values());
  for (std::size_t depth = 0; depth < kMissDepthEdgesMm.size(); ++depth)
    for (std::size_t wet = 0; wet < kMissWetEdges.size(); ++wet)
      for (const bool before : {false, true}) {
        EXPECT_EQ(again.bin(depth, wet, before).probability,
                  law.bin(depth, wet, before).probability);
        EXPECT_EQ(again.bin(depth, wet, before).windows, law.bin(depth, wet, before).windows);
        EXPECT_EQ(again.nats(7, kMissDepthEdgesMm[depth], kMissWetEdges[wet], before),
                  law.nats(7, kMissDepthEdgesMm[depth], kMissWetEdges[wet], before));
      }
}

TEST(DryMemory, RemembersThreeWindows) {
  DryMemory memory;
  EXPECT_FALSE(memory.dry_before());
  memory.push(0, 0.3);
  EXPECT_TRUE(memory.dry_before());
  memory.push(0.2, 0.3);
  EXPECT_FALSE(memory.dry_before());
  for (int i = 0; i < 3; ++i) memory.push(0, 0);
  EXPECT_FALSE(memory.dry_before());  // nothing was expected
}

}  // namespace
}  // namespace gaugeloom
