#include "gaugeloom/expect/ratio_law.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

std::vector<RatioSample> drawn(std::size_t count) {
  Random random("ratio law");
  std::vector<RatioSample> samples;
  for (std::size_t i = 0; i < count; ++i) {
    const double expected = std::exp(random.uniform(0, 3.5));
    const double patchy = random.uniform(0.05, 1);
    const double sd = 0.5 * std::pow(expected, -0.2) * std::pow(0.1 + patchy, 0.8);
    samples.push_back({expected, patchy, 0.05 + sd * random.normal()});
  }
  return samples;
}

TEST(RatioLaw, LearnsSpreadByDepthAndPatchiness) {
  const RatioLaw law = RatioLaw::learned(drawn(6000));
  for (const double expected : {1.5, 5.0, 20.0}) {
    for (const double patchy : {0.1, 0.3, 0.8}) {
      const double sd = 0.5 * std::pow(expected, -0.2) * std::pow(0.1 + patchy, 0.8);
      EXPECT_NEAR(std::sqrt(law.variance(expected, patchy)) / sd, 1, 0.1);
      EXPECT_NEAR(law.mean(expected, patchy), 0.05, 0.03);
    }
  }
}

TEST(RatioLaw, DoesNotDependOnTheOrderAndComesBackFromItsCoefficients) {
  auto samples = drawn(500);
  const RatioLaw law = RatioLaw::learned(samples);
  std::reverse(samples.begin(), samples.end());
  EXPECT_EQ(RatioLaw::learned(samples).coefficients(), law.coefficients());  // bit for bit
  EXPECT_EQ(RatioLaw(law.coefficients()).variance(7, 0.2), law.variance(7, 0.2));
}

TEST(RatioLaw, AFewFaultsTeachLittle) {
  auto samples = drawn(2000);
  const double before = RatioLaw::learned(samples).variance(5, 0.3);
  for (std::size_t i = 0; i < samples.size(); i += 100) samples[i].log_ratio = -4;
  const double after = RatioLaw::learned(samples).variance(5, 0.3);
  EXPECT_LT(after / before, 1.3);
}

TEST(RatioLaw, FewSamplesTeachNothing) {
  const RatioLaw law = RatioLaw::learned(drawn(59));
  EXPECT_EQ(law.mean(5, 0.5), 0);
  EXPECT_NEAR(law.variance(5, 0.5), 0.16, 1e-4);
}

// Gauge 0 and five neighbours, one day.
struct OneDay {
  BlockSums blocks;
  Neighbourhoods around;
  std::vector<double> site_ratio = std::vector<double>(6, 1.0);

  explicit OneDay(std::vector<float> depths_mm) {
    blocks.axis = StepAxis(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 1);
    blocks.first_window = {0, 24};
    for (const float depth : depths_mm) blocks.values.push_back({depth, 5, 1, true});
    around.of.resize(6);
    for (std::size_t n = 1; n < 6; ++n) around.of[0].push_back({n, 1000.0 * double(n), 1.0});
  }
  std::optional<RatioSample> sample() const {
    return ratio_among_neighbours(blocks.row(0)[0], blocks, around, site_ratio, 0.2, 0, 0);
  }
};

TEST(RatioLaw, HoldsADayAgainstTheMeanOfLogs) {
  const auto sample = OneDay({8, 10, 10, 10, 10, 10}).sample();
  ASSERT_TRUE(sample);
  EXPECT_NEAR(sample->expected_mm, 10, 1e-6);
  EXPECT_NEAR(sample->patchiness, 0, 1e-6);
  EXPECT_NEAR(sample->log_ratio, std::log(8.2 / 10.2), 1e-6);
}

TEST(RatioLaw, OneAbsurdNeighbourCountsLittle) {
  const auto sample = OneDay({10, 10, 10, 10, 10, 900}).sample();
  ASSERT_TRUE(sample);
  EXPECT_NEAR(sample->log_ratio, -0.8 / 5, 1e-6);  // held to 0.8 from the median
}

TEST(RatioLaw, TakesTheSiteRatiosOut) {
  OneDay day({8, 10, 10, 10, 10, 5});
  day.site_ratio = {0.8, 1, 1, 1, 1, 0.5};
  EXPECT_NEAR(day.sample()->log_ratio, 0, 1e-6);
}

TEST(RatioLaw, SaysNothingOfADayThatIsExcludedOrNotWholeOrLonely) {
  OneDay day({8, 10, 10, 10, 10, 10});
  day.blocks.values[0].accepted = false;
  EXPECT_FALSE(day.sample());
  day.blocks.values[0].accepted = true;
  day.blocks.values[0].usable_share = 0.9F;
  EXPECT_FALSE(day.sample());
  day.blocks.values[0].usable_share = 1;
  for (const std::size_t n : {1, 2}) day.blocks.values[n].accepted = false;
  EXPECT_TRUE(day.sample());
  day.blocks.values[3].usable_share = 0;
  EXPECT_FALSE(day.sample());
}

}  // namespace
}  // namespace gaugeloom
