// Daily rain in Switzerland, 100 gauges known and 367 held back, against gstat 2.1 (computed) and
// the data of G. Dubois 1998 (see data/README.md). The unit is 0.1 mm.

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/interp/leave_one_out.hpp"
#include "gaugeloom/interp/variogram_fit.hpp"
#include "support/csv_table.hpp"

namespace gaugeloom {
namespace {

using support::CsvTable;

const CsvTable kKnown = CsvTable::read("reference/data/sic97_train.csv");
const CsvTable kHeldBack = CsvTable::read("reference/data/sic97_valid_pred_gstat.csv");
const std::vector<MetricPoint> kGauges = kKnown.points("X", "Y");
const std::vector<double> kRain = kKnown.numbers("rainfall");
const std::vector<MetricPoint> kTargets = kHeldBack.points("X", "Y");
const Variogram kModel{
    .shape = VariogramShape::spherical, .nugget = 0, .partial_sill = 14000, .range_m = 80000};

double rmse(const std::vector<double>& estimates) {
  double squares = 0;
  for (std::size_t i = 0; i < estimates.size(); ++i)
    squares += std::pow(estimates[i] - kHeldBack.number(i, "rainfall"), 2);
  return std::sqrt(squares / static_cast<double>(estimates.size()));
}

std::vector<double> values_of(const std::vector<Estimate>& estimates) {
  std::vector<double> values;
  for (const Estimate& e : estimates) values.push_back(e.value);
  return values;
}

std::vector<Estimate> kriged(int max_neighbours) {
  return ordinary_kriging(kGauges, kRain, {}, kTargets, kModel, {.max_neighbours = max_neighbours});
}

std::vector<double> weighted(double power, int max_neighbours) {
  return values_of(inverse_distance(kGauges, kRain, kTargets,
                                    {.power = power, .max_neighbours = max_neighbours}));
}

void expect_kriging(const std::vector<Estimate>& got, const std::string& column) {
  ASSERT_EQ(got.size(), kHeldBack.rows());
  for (std::size_t i = 0; i < got.size(); ++i) {
    const double value = kHeldBack.number(i, column);
    const double variance = kHeldBack.number(i, column + "_var");
    EXPECT_NEAR(got[i].value, value, 1e-9 * std::abs(value)) << column << " row " << i;
    EXPECT_NEAR(got[i].variance, variance, 1e-9 * variance) << column << " row " << i;
  }
}

TEST(SwissRainReference, OrdinaryKrigingAgreesEverywhere) {
  expect_kriging(kriged(0), "ok_fixed_sph14000_80km");
  expect_kriging(kriged(8), "ok_fixed_nmax8");
  expect_kriging(kriged(16), "ok_fixed_nmax16");
}

TEST(SwissRainReference, InverseDistanceAgreesEverywhere) {
  const std::vector<std::tuple<double, int, std::string>> cases = {
      {1, 0, "idw1_nmaxInf"}, {2, 0, "idw2_nmaxInf"}, {2, 4, "idw2_nmax4"}, {2, 8, "idw2_nmax8"},
      {2, 12, "idw2_nmax12"}, {3, 0, "idw3_nmaxInf"}, {3, 8, "idw3_nmax8"}, {2, 1, "nearest"}};
  for (const auto& [power, neighbours, column] : cases) {
    const auto got = weighted(power, neighbours);
    for (std::size_t i = 0; i < got.size(); ++i)
      EXPECT_NEAR(got[i], kHeldBack.number(i, column), 1e-9 * got[i]) << column << " row " << i;
  }
}

TEST(SwissRainReference, SkillComesInTheKnownOrder) {
  const std::vector<double> mean(kTargets.size(), 180.15);  // of the 100 known gauges
  const double kriging = rmse(values_of(kriged(0))), near8 = rmse(weighted(2, 8)),
               all = rmse(weighted(2, 0)), nearest = rmse(weighted(2, 1));
  EXPECT_NEAR(kriging, 55.2244961, 1e-6);
  EXPECT_NEAR(near8, 58.3285290, 1e-6);
  EXPECT_NEAR(all, 68.7285398, 1e-6);
  EXPECT_NEAR(nearest, 84.1663074, 1e-6);
  EXPECT_NEAR(rmse(mean), 111.1379479, 1e-6);
  EXPECT_LT(kriging, near8);
  EXPECT_LT(near8, all);
  EXPECT_LT(all, nearest);
  EXPECT_LT(nearest, rmse(mean));
}

TEST(SwissRainReference, BandsHoldTheKnownShare) {
  const auto estimates = kriged(0);
  int within90 = 0, within95 = 0;
  for (std::size_t i = 0; i < estimates.size(); ++i) {
    const double z = std::abs(kHeldBack.number(i, "rainfall") - estimates[i].value) /
                     std::sqrt(estimates[i].variance);
    within90 += z <= 1.6448536269514722 ? 1 : 0;
    within95 += z <= 1.959963984540054 ? 1 : 0;
  }
  EXPECT_EQ(within90, 329);  // 89.6 % of 367
  EXPECT_EQ(within95, 345);  // 94.0 %
}

// gstat 2.1, 100 gauges to 367, computed, estimate less observed: mean -0.0894193,
// variance 1.0205504.
TEST(SwissRainReference, StandardisedErrorsHaveTheKnownMoments) {
  const auto estimates = kriged(0);
  double sum = 0;
  double squares = 0;
  for (std::size_t i = 0; i < estimates.size(); ++i) {
    const double z =
        (estimates[i].value - kHeldBack.number(i, "rainfall")) / std::sqrt(estimates[i].variance);
    sum += z;
    squares += z * z;
  }
  const auto n = static_cast<double>(estimates.size());
  EXPECT_NEAR(sum / n, -0.0894192753436984, 1e-9);
  EXPECT_NEAR((squares - sum * sum / n) / (n - 1), 1.02055036336267, 1e-9);
}

TEST(SwissRainReference, VariogramAndItsSphericalFitAgree) {
  const CsvTable want = CsvTable::read("reference/data/sic97_variogram_train.csv");
  const auto bins = experimental_variogram(kGauges, kRain);
  ASSERT_EQ(bins.size(), want.rows());
  for (std::size_t i = 0; i < bins.size(); ++i) {
    EXPECT_EQ(static_cast<double>(bins[i].pairs), want.number(i, "np"));
    EXPECT_NEAR(bins[i].distance_m, want.number(i, "dist"), 1e-9 * bins[i].distance_m);
    EXPECT_NEAR(bins[i].gamma, want.number(i, "gamma"), 1e-9 * bins[i].gamma);
  }
  const auto fit = fit_variogram(bins, {.shape = VariogramShape::spherical});
  EXPECT_EQ(fit.variogram.nugget, 0);
  EXPECT_NEAR(fit.variogram.partial_sill, 15292.3765, 1e-3 * 15292);
  EXPECT_NEAR(fit.variogram.range_m, 82946.356, 1e-3 * 82946);
  EXPECT_LE(fit.weighted_squares, 2.52166437);
}

// Everything is chosen on the 100 known gauges: the spherical shape, usual for daily rain (common
// practice), fitted to their variogram, and all gauges as neighbours. gstat's automatic fit of the
// same shape gives 55.08 (computed). Leaving out each known gauge in turn would have chosen the
// exponential shape (68.5 against 70.4), which gives 55.98 here.
TEST(SwissRainReference, SettingsOfTheKnownGaugesServeTheOthers) {
  const auto fit =
      fit_variogram(experimental_variogram(kGauges, kRain), {.shape = VariogramShape::spherical});
  const auto estimates =
      ordinary_kriging(kGauges, kRain, {}, kTargets, fit.variogram, {.max_neighbours = 0});
  EXPECT_LE(rmse(values_of(estimates)), 55.1);
  double within = 0;
  for (std::size_t i = 0; i < estimates.size(); ++i)
    within += std::abs(kHeldBack.number(i, "rainfall") - estimates[i].value) <=
                      1.6448536269514722 * std::sqrt(estimates[i].variance)
                  ? 1
                  : 0;
  EXPECT_GE(within / 367, 0.87);
  EXPECT_LE(within / 367, 0.93);
}

TEST(SwissRainReference, LeaveOneOutOfAllGaugesAgrees) {
  const CsvTable want = CsvTable::read("reference/data/sic97_full467_loocv_ok_nmax20_gstat.csv");
  const auto got = leave_one_out_kriging(want.points("X", "Y"), want.numbers("observed"), {},
                                         kModel, {.max_neighbours = 20});
  ASSERT_EQ(got.size(), 467u);
  for (std::size_t i = 0; i < got.size(); ++i) {
    const double value = want.number(i, "pred"), variance = want.number(i, "var");
    EXPECT_NEAR(got[i].value, value, 1e-9 * std::max(1.0, std::abs(value))) << "row " << i;
    EXPECT_NEAR(got[i].variance, variance, 1e-9 * variance) << "row " << i;
  }
}

}  // namespace
}  // namespace gaugeloom
