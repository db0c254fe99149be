#include <gtest/gtest.h>

#include "checks/blame_internal.hpp"

namespace gaugeloom {
namespace {

// Three gauges, each the neighbour of the others.
struct Three {
  Network network;
  Neighbourhoods around;
  Exclusions none{3, 100};

  Three() {
    for (std::size_t gauge = 0; gauge < 3; ++gauge) {
      network.gauges.emplace_back().id = std::string(1, static_cast<char>('A' + gauge));
      auto& of = around.of.emplace_back();
      for (std::size_t other = 0; other < 3; ++other)
        if (other != gauge) of.push_back({other, 1000, 1});
    }
  }
  Exclusions next(std::vector<Suspicion> suspicions, std::vector<HourSpan> right = {}) const {
    return next_exclusions(network, around, none, std::move(suspicions), right);
  }
};

std::size_t hours_out(const Exclusions& out, std::size_t gauge) {
  std::size_t hours = 0;
  for (std::size_t hour = 0; hour < out.steps; ++hour) hours += out.at(gauge, hour) ? 1 : 0;
  return hours;
}

TEST(Blame, LeavesOutTheHeaviestAndNotItsEcho) {
  const Exclusions out = Three().next({{0, 10, 50, 3}, {1, 20, 60, 2}, {2, 60, 70, 1}});
  EXPECT_EQ(hours_out(out, 0), 40U);
  EXPECT_EQ(hours_out(out, 1), 0U);
  EXPECT_EQ(hours_out(out, 2), 10U);
}

TEST(Blame, NeverLeavesOutWhatIsKnownToBeRight) {
  const std::vector<Suspicion> suspected = {{0, 10, 50, 3}, {1, 20, 60, 2}};
  const Exclusions most = Three().next(suspected, {{0, 10, 31}});
  EXPECT_EQ(hours_out(most, 0), 0U);
  EXPECT_EQ(hours_out(most, 1), 40U);  // no echo of what is none
  const Exclusions half = Three().next(suspected, {{0, 10, 30}});
  EXPECT_EQ(hours_out(half, 0), 20U);
  EXPECT_TRUE(half.at(0, 30));
  EXPECT_FALSE(half.at(0, 29));
  EXPECT_EQ(hours_out(half, 1), 0U);
  EXPECT_EQ(hours_out(Three().next(suspected, {{2, 0, 100}}), 0), 40U);  // of another gauge
}

}  // namespace
}  // namespace gaugeloom
