#include <gtest/gtest.h>

#include "gaugeloom/storms/storm.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

// The record as it grows, a few steps at a time: what has ended keeps its id and its extent.
TEST(StormProperties, EndedStormsStayAsTheRecordGrows) {
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    support::SyntheticRainOptions made;
    made.gauges = 15;
    made.steps = 30 * 144;
    made.seed = seed;
    const RainTable whole = support::synthetic_rain(made).table;
    const StormList all = find_storms(unchecked_record(whole));
    ASSERT_GT(all.storms.size(), 4U);
    std::size_t ended = 0;
    std::size_t most = 0;
    for (std::size_t steps = 7; steps <= whole.step_count(); steps += 29) {
      const StormList some = find_storms(unchecked_record(slice(whole, 0, steps)));
      ASSERT_LE(some.storms.size(), all.storms.size());
      for (std::size_t i = 0; i < some.storms.size(); ++i) {
        if (some.storms[i].running) {
          EXPECT_EQ(i + 1, some.storms.size()) << "only the last can run";
          continue;
        }
        ++ended;
        most = std::max(most, i);
        ASSERT_EQ(some.storms[i].id, all.storms[i].id) << steps;
        ASSERT_EQ(some.storms[i].over, all.storms[i].over) << steps;
      }
    }
    EXPECT_GT(ended, 100U);
    EXPECT_GE(most + 2, all.storms.size());
  }
}

}  // namespace
}  // namespace gaugeloom
