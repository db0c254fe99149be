#include "gaugeloom/rehearse/step_pit.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/fill/band_law.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kSteps = 20000;

// Two gauges whose every step was estimated as 1.1 mm; what was measured is drawn from that law, in
// whole buckets, times `factor`.
struct Drawn {
  Network network;
  RainTable truth;
  SeriesRecord filled;
  std::vector<HiddenGap> gaps{{0, 0, kSteps}, {1, 0, kSteps}};

  explicit Drawn(double factor) {
    const StepAxis axis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), kSteps);
    truth = RainTable(axis, 2);
    filled = unchecked_record(RainTable(axis, 2));
    make_room_for_bounds(filled);
    network.gauges.resize(2);
    network.gauges[0].id = "A";
    network.gauges[1].id = "B";
    const BandLaw law = band_law(1.1, {0, 3, 1});
    Random random("StepPit");
    for (std::size_t g = 0; g < 2; ++g)
      for (std::size_t s = 0; s < kSteps; ++s) {
        const double mm = factor * law.quantile_mm(random.uniform(1e-9, 1));
        truth.set(g, s, static_cast<float>(std::round(mm / 0.2) * 0.2));
        const std::size_t i = filled.index(g, s);
        filled.depth.set(g, s, 1.1F);
        filled.low_mm[i] = 0;
        filled.high_mm[i] = 3;
        filled.standard_error_mm[i] = 1;
        filled.origin[i] = Origin::neighbours;
      }
  }
  StepPit pit(bool wet_only = false) const {
    return step_pit(network, truth, filled, gaps, wet_only);
  }
};

TEST(StepPit, IsFlatWhenTheLawIsTrue) {
  const StepPit pit = Drawn(1).pit();
  EXPECT_EQ(pit.steps, 2 * kSteps);
  // 40000 draws: a share strays by 0.0015; the distance by 9 / 40000 on average
  for (const double share : pit.share) EXPECT_NEAR(share, 0.1, 0.006);
  EXPECT_LT(pit.distance(), 0.001);
  EXPECT_LT(pit.largest(), 0.106);
}

TEST(StepPit, LeansWhereTheLawIsTooLow) {
  const StepPit pit = Drawn(1.5).pit();
  EXPECT_GT(pit.share[9], 0.15);
  EXPECT_GT(pit.distance(), 0.05);
  EXPECT_EQ(pit.largest(), pit.share[9]);
}

TEST(StepPit, DoesNotDependOnTheOrderOfTheGauges) {
  Drawn drawn(1);
  const StepPit one = drawn.pit();
  std::swap(drawn.gaps[0], drawn.gaps[1]);
  EXPECT_EQ(drawn.pit().share, one.share);
}

TEST(StepPit, CountsOnlyEstimatesOfMeasuredSteps) {
  Drawn drawn(1);
  drawn.truth.set_missing(0, 7);
  drawn.filled.origin[drawn.filled.index(1, 3)] = Origin::none;
  EXPECT_EQ(drawn.pit().steps, 2 * kSteps - 2);
  drawn.filled.depth.set(1, 4, 0);
  EXPECT_EQ(drawn.pit(true).steps, 2 * kSteps - 3);
  drawn.gaps.clear();
  EXPECT_TRUE(std::isnan(drawn.pit().distance()));
}

}  // namespace
}  // namespace gaugeloom
