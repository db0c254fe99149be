// The seven samples of E. Isaaks and R. Srivastava, An Introduction to Applied Geostatistics,
// Oxford 1989, ch. 11 and 12. Printed answers 592.7 and 8.96: memory; all numbers computed twice
// (gstat 2.1 and numpy), see data/README.md.

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "support/csv_table.hpp"

namespace gaugeloom {
namespace {

using support::CsvTable;

const MetricPoint kTarget{65, 137};
const CsvTable kSamples = CsvTable::read("reference/data/isaaks_points.csv");
const CsvTable kKriged = CsvTable::read("reference/data/isaaks_ok.csv");
const std::vector<MetricPoint> kPoints = kSamples.points("x", "y");
const std::vector<double> kValues = kSamples.numbers("V");

struct Case {
  const char* row;
  Variogram variogram;
};

// C(h) = 10 exp(-0.3 h) is exponential with e-folding distance 10/3; 10 exp(-3 (h/10)^2) is
// Gaussian with range 10 / sqrt(3).
const std::vector<Case> kCases = {
    {"exp C0=0 C1=10 a=10 (book base case)", {.partial_sill = 10, .range_m = 10.0 / 3}},
    {"exp C1=20 (scale x2)", {.partial_sill = 20, .range_m = 10.0 / 3}},
    {"gaussian 10*exp(-3(h/10)^2)",
     {.shape = VariogramShape::gaussian, .partial_sill = 10, .range_m = 10 / std::sqrt(3.0)}},
    {"exp C0=5 C1=5 (nugget)", {.nugget = 5, .partial_sill = 5, .range_m = 10.0 / 3}},
    {"pure nugget 10", {.nugget = 10, .partial_sill = 0}},
    {"exp C1=10 a=20", {.partial_sill = 10, .range_m = 20.0 / 3}},
};

TEST(SevenSamplesReference, OrdinaryKrigingGivesEveryVariant) {
  ASSERT_EQ(kKriged.rows(), kCases.size());
  for (std::size_t row = 0; row < kCases.size(); ++row) {
    SCOPED_TRACE(kCases[row].row);
    ASSERT_EQ(kKriged.text(row, "model"), kCases[row].row);
    const auto w =
        kriging_weights(kPoints, {}, kTarget, kCases[row].variogram, {.max_neighbours = 0});
    ASSERT_EQ(w.status, EstimateStatus::ok);
    double estimate = 0;
    for (std::size_t i = 0; i < kPoints.size(); ++i) {
      estimate += w.weights[i] * kValues[i];
      // Ten digits are given.
      EXPECT_NEAR(w.weights[i], kKriged.number(row, "w_" + kSamples.text(i, "id")), 1e-10);
    }
    EXPECT_NEAR(estimate, kKriged.number(row, "estimate"), 1e-7);
    EXPECT_NEAR(w.variance, kKriged.number(row, "ok_variance"), 1e-8);
    EXPECT_NEAR(w.lagrange, kKriged.number(row, "mu_solved_[C 1;1 0]"), 1e-9);
  }
}

TEST(SevenSamplesReference, OrdinaryKrigingGivesThePrintedAnswer) {
  const std::vector<MetricPoint> target = {kTarget};
  const auto e = ordinary_kriging(kPoints, kValues, {}, target, kCases[0].variogram).at(0);
  EXPECT_NEAR(e.value, 592.7, 0.05);     // memory
  EXPECT_NEAR(e.variance, 8.96, 0.005);  // memory
}

TEST(SevenSamplesReference, InverseDistanceGivesEveryPower) {
  const CsvTable answers = CsvTable::read("reference/data/isaaks_idw.csv");
  const std::vector<MetricPoint> target = {kTarget};
  const std::vector<double> powers = {0.2, 0.5, 1, 2, 3, 5, 10, 0};
  ASSERT_EQ(answers.rows(), powers.size());
  for (std::size_t row = 0; row < powers.size(); ++row) {
    const auto e = inverse_distance(kPoints, kValues, target, {.power = powers[row]}).at(0);
    EXPECT_NEAR(e.value, answers.number(row, "estimate"), 1e-7) << powers[row];
    EXPECT_TRUE(std::isnan(e.variance));
  }
}

}  // namespace
}  // namespace gaugeloom
