#include "gaugeloom/expect/duration_law.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

JudgedWindow window_of(double expected_mm, double wet_share = 1, double patchiness = 0.3) {
  JudgedWindow window;
  window.expected_mm = expected_mm;
  window.wet_share = wet_share;
  window.patchiness = patchiness;
  window.usable_share = 1;
  window.neighbours = 8;
  return window;
}

// Days of six gauges: each reads what all read, times a factor of its own day by day; the last is
// the less reliable one.
struct Days {
  Network network;
  RainTable depths;
  Neighbourhoods around;
  ExpectedDepths expected;
  Exclusions excluded;
  std::vector<double> ratios = std::vector<double>(6, 1.0);

  explicit Days(std::size_t days, double dry_share = 0)
      : depths(StepAxis(Instant{std::chrono::sys_days{std::chrono::year{2023} / 1 / 2}},
                        std::chrono::hours(24), days),
               6) {
    Random random("Days");
    for (int i = 0; i < 6; ++i) {
      Gauge gauge;
      gauge.id = std::string(1, static_cast<char>('A' + i));
      gauge.position = {1000.0 * i, 500.0 * (i % 2)};
      network.gauges.push_back(gauge);
    }
    for (std::size_t day = 0; day < days; ++day) {
      const double depth = random.uniform(2, 20);
      for (std::size_t gauge = 0; gauge < 6; ++gauge) {
        const double spread = gauge == 5 ? 0.4 : 0.15;
        const bool dry = random.chance(dry_share);
        const double read = depth * std::exp(spread * random.normal());
        depths.set(gauge, day, dry ? 0 : static_cast<float>(std::round(read / 0.2) * 0.2));
      }
    }
    around = neighbourhoods(network);
    excluded = Exclusions(6, days);
  }
  DurationLaw law() {
    expected = expected_depths(depths, around, SiteRatios(6), excluded, 1);
    const JudgedWindows windows({network, depths, expected, excluded, around, ratios},
                                windows_of(WindowKind::day, depths));
    return DurationLaw::learned(windows, nullptr, 1);
  }
};

TEST(DurationLaw, GivesProbabilitiesThatAddUpAndBoundsInOrder) {
  Days days(400, 0.1);
  const DurationLaw law = days.law();
  for (const double expected : {0.0, 0.03, 1.0, 8.0, 300.0}) {
    const HealthyReading healthy =
        law.reading(days.network.gauges[0], 0, window_of(expected, expected > 0 ? 1 : 0));
    double before = 0;
    for (const double read : {0.0, 0.2, 1.0, 5.0, 20.0, 500.0}) {
      EXPECT_NEAR(healthy.low(read) + healthy.high(read), 1, 2 * kLeastProbability);
      EXPECT_GE(healthy.low(read), before);
      EXPECT_GE(healthy.low(read), kLeastProbability);
      before = healthy.low(read);
    }
    EXPECT_LE(healthy.quantile_mm(0.05), healthy.quantile_mm(0.5));
    EXPECT_LE(healthy.quantile_mm(0.5), healthy.quantile_mm(0.95));
    EXPECT_GE(healthy.quantile_mm(0.05), 0);
  }
}

TEST(DurationLaw, InvertsItsProbabilities) {
  Days days(400);
  const DurationLaw law = days.law();
  const HealthyReading healthy = law.reading(days.network.gauges[0], 0, window_of(10));
  for (const double p : {0.05, 0.2, 0.5, 0.8, 0.95, 0.999})
    EXPECT_NEAR(healthy.low(healthy.quantile_mm(p)), p, 1e-6);
}

TEST(DurationLaw, LearnsHowOftenAHealthyGaugeHasNoRain) {
  const double often = Days(1500, 0.2).law().reading({}, 0, window_of(9)).zero_probability();
  const double never = Days(1500).law().reading({}, 0, window_of(9)).zero_probability();
  EXPECT_NEAR(often, 0.2, 0.08);  // days with so many wet neighbours are not all days
  EXPECT_LT(never, 0.01);
}

TEST(DurationLaw, KnowsTheLessReliableGauge) {
  Days days(400);
  const DurationLaw law = days.law();
  const auto& factors = law.values().spread_factors;
  ASSERT_EQ(factors.size(), 6U);
  for (std::size_t gauge = 0; gauge < 5; ++gauge) EXPECT_GT(factors[5], 1.2 * factors[gauge]);
  const auto width = [&](std::size_t gauge) {
    const HealthyReading healthy = law.reading(days.network.gauges[gauge], gauge, window_of(10));
    return healthy.quantile_mm(0.95) - healthy.quantile_mm(0.05);
  };
  EXPECT_GT(width(5), 1.2 * width(0));
}

TEST(DurationLaw, IsNeverSurerThanTheInstrument) {
  DurationLawValues values = DurationLaw().values();
  values.ratio = {0, 0, 0, -20, 0, 0};
  values.zero.fill(0);
  const DurationLaw law(values);
  Gauge gauge;
  gauge.bucket_mm = 0.5;
  gauge.accuracy_percent = 10;
  const HealthyReading healthy = law.reading(gauge, 0, window_of(10));
  // sqrt(0.5^2 / 6 + (10 / 30)^2) = 0.391 mm, over 10.5 mm; 1.645 of it either way.
  EXPECT_NEAR(std::log((healthy.quantile_mm(0.95) + 0.5) / 10.5), 1.645 * 0.391 / 10.5, 1e-4);
}

TEST(DurationLaw, LearnsNothingFromExcludedWindows) {
  Days days(400);
  const DurationLaw before = days.law();
  for (std::size_t day = 100; day < 200; ++day) days.depths.set(0, day, 0);
  days.excluded.set(0, 100, 200);
  const DurationLaw after = days.law();
  EXPECT_LT(after.reading(days.network.gauges[0], 0, window_of(9)).zero_probability(), 0.01);
  EXPECT_EQ(after.values().windows, before.values().windows - 100);
}

TEST(DurationLaw, FallsBackOnTheShorterLawWhereWindowsAreFew) {
  Days days(400);
  const DurationLaw day_law = days.law();
  const JudgedWindows months(
      {days.network, days.depths, days.expected, days.excluded, days.around, days.ratios},
      {{0, 30}, {30, 60}});
  const DurationLaw law = DurationLaw::learned(months, &day_law, 1);
  // The spread is taken over, the middle is none.
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(law.values().ratio[i], 0);
    EXPECT_EQ(law.values().ratio[3 + i], day_law.values().ratio[3 + i]);
  }
  EXPECT_EQ(law.values().windows, 12U);
  EXPECT_GT(law.values().spread_factors[5], law.values().spread_factors[0]);
}

TEST(DurationLaw, DoesNotHangOnTheOrderOfTheGaugesOrTheThreads) {
  Days days(200, 0.1);
  const DurationLaw law = days.law();
  Days turned = days;
  std::reverse(turned.network.gauges.begin(), turned.network.gauges.end());
  for (std::size_t gauge = 0; gauge < 6; ++gauge)
    for (std::size_t day = 0; day < 200; ++day)
      turned.depths.set(5 - gauge, day, days.depths.depth_mm(gauge, day));
  turned.around = neighbourhoods(turned.network);
  const DurationLaw other = turned.law();
  EXPECT_EQ(law.values().zero, other.values().zero);
  EXPECT_EQ(law.values().ratio, other.values().ratio);
  for (std::size_t gauge = 0; gauge < 6; ++gauge)
    EXPECT_EQ(law.values().spread_factors[gauge], other.values().spread_factors[5 - gauge]);
  for (std::size_t i = 0; i < law.values().shapes.size(); ++i)
    EXPECT_EQ(law.values().shapes[i].points, other.values().shapes[i].points);
}

TEST(DurationLaw, ComesBackFromItsLists) {
  Days days(300, 0.2);
  const DurationLaw law = days.law();
  const DurationLaw again = DurationLaw::from(law.lists());
  EXPECT_EQ(again.lists().lists, law.lists().lists);
  for (const double observed : {0.0, 0.4, 5.0, 60.0}) {
    const Gauge& gauge = days.network.gauges[5];
    const JudgedWindow window = window_of(8);
    EXPECT_EQ(again.reading(gauge, 5, window).low(observed),
              law.reading(gauge, 5, window).low(observed));
    EXPECT_EQ(again.reading(gauge, 5, window).high(observed),
              law.reading(gauge, 5, window).high(observed));
  }
  EXPECT_EQ(DurationLaw::from(DurationLaw().lists()).values().windows, 0U);
}

}  // namespace
}  // namespace gaugeloom
