// Changes in series of ratios, against published figures.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/expect/double_mass.hpp"
#include "gaugeloom/expect/ratio_break.hpp"
#include "support/csv_table.hpp"

namespace gaugeloom {
namespace {

std::vector<RatioPoint> series(const std::vector<double>& values) {
  std::vector<RatioPoint> points;
  for (std::size_t i = 0; i < values.size(); ++i)
    points.push_back({static_cast<double>(i), 0, values[i], 1});
  return points;
}

ChangeOptions plain() {
  ChangeOptions options;
  options.least_side = 1;
  return options;
}

// T0 of normal values standardised with the n - 1 standard deviation.
double simulated_t0(Random& random, std::size_t n) {
  std::vector<double> values;
  for (std::size_t i = 0; i < n; ++i) values.push_back(random.normal());
  double mean = 0;
  for (const double v : values) mean += v / static_cast<double>(n);
  double variance = 0;
  for (const double v : values) variance += (v - mean) * (v - mean) / static_cast<double>(n - 1);
  for (double& v : values) v = (v - mean) / std::sqrt(variance);
  return 2 * best_change(series(values), ChangeShape::step, plain()).score;
}

TEST(HomogeneityReference, SimulationMeetsThePublishedPointsOfTheSingleBreakStatistic) {
  const auto table = support::CsvTable::read("reference/data/snht_critical_values.csv");
  Random random("critical values");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto n = static_cast<std::size_t>(table.number(row, "n"));
    if (n > 100) continue;
    SCOPED_TRACE(n);
    std::vector<double> peaks;
    for (int i = 0; i < 10000; ++i) peaks.push_back(simulated_t0(random, n));
    std::sort(peaks.begin(), peaks.end());
    EXPECT_NEAR(peaks[9500], table.number(row, "computed_95"), 0.2);
    EXPECT_NEAR(peaks[9900], table.number(row, "computed_99"), 0.4);
    const double published = table.numbers("published_95")[row];
    if (!std::isnan(published)) {
      EXPECT_NEAR(peaks[9500], published, 0.3);  // it is itself within 0.2 of the computed one
    }
  }
}

TEST(HomogeneityReference, DoubleMassGivesTheAnswersOfTheHandbook) {
  const auto table = support::CsvTable::read("reference/data/doublemass_punmia46.csv");
  const auto own = table.numbers("X");
  const auto mean = table.numbers("mean_of_10");
  const auto curve = double_mass_curve(own, mean, 1);
  ASSERT_EQ(curve.size(), 16U);
  const DoubleMassPoint origin;
  const double early = mass_slope(origin, curve[7]);  // 1970 to 1977
  const double late = mass_slope(curve[7], curve.back());
  EXPECT_NEAR(late, 0.93220, 5e-6);          // computed
  EXPECT_NEAR(early, 1.30909, 5e-6);         // computed
  EXPECT_NEAR(late / early, 0.71210, 5e-6);  // computed
  EXPECT_NEAR(late / early, 0.7051, 0.01);   // published, read off a graph
}

TEST(HomogeneityReference, TheStepOfTheHandbookExampleIsFoundInItsYear) {
  const auto table = support::CsvTable::read("reference/data/doublemass_punmia46.csv");
  std::vector<double> ratios;
  for (std::size_t i = 0; i < table.rows(); ++i)
    ratios.push_back(std::log(table.numbers("X")[i] / table.numbers("mean_of_10")[i]));
  const RatioChange step = best_change(series(ratios), ChangeShape::step, plain());
  EXPECT_EQ(table.number(step.at, "year"), 1978);    // published
  EXPECT_NEAR(std::exp(step.change), 0.7121, 0.02);  // of the double mass; here of mean logs
}

}  // namespace
}  // namespace gaugeloom
