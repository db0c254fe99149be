#include "checks/lag_law_internal.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(LagLaw, FallsOutwardsAndHasHeavyTails) {
  LagLaw law(15);
  for (int day = 0; day < 1000; ++day) law.add(2, 0, 1);
  law.add(2, -90, 5);
  const auto density = law.log_densities();
  double last = density[law.place(2, 0)];
  for (const double minutes : {15.0, 30.0, 60.0, 90.0, 240.0, 700.0}) {
    const double here = density[law.place(2, minutes)];
    EXPECT_LE(here, last) << minutes;
    EXPECT_EQ(here, density[law.place(2, -minutes)]);
    last = here;
  }
  EXPECT_GT(last, -20);  // nothing is impossible
}

TEST(LagLaw, KeepsUnclearDaysApart) {
  LagLaw law(15);
  for (int day = 0; day < 100; ++day) law.add(0, day % 2 == 0 ? 60 : 0, 1);
  for (int day = 0; day < 100; ++day) law.add(3, 0, 1);
  const auto density = law.log_densities();
  const auto gap = [&](std::size_t clarity) {
    return density[law.place(clarity, 0)] - density[law.place(clarity, 60)];
  };
  // Half of the days share the bins from 7.5 to 82.5 minutes, ten times as wide as the first one:
  // log 10, less what the prior moves.
  EXPECT_NEAR(gap(0), std::log(10.0), 0.2);
  EXPECT_GT(gap(3), 4.0);
}

TEST(LagLaw, ClassesCorrelations) {
  EXPECT_EQ(clarity_of(0.3), 0U);
  EXPECT_EQ(clarity_of(0.65), 2U);
  EXPECT_EQ(clarity_of(1), 3U);
}

}  // namespace
}  // namespace gaugeloom
