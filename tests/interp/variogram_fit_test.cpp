#include "gaugeloom/interp/variogram_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

std::vector<VariogramBin> bins_of(const Variogram& model, double factor = 1) {
  std::vector<VariogramBin> bins;
  for (int i = 1; i <= 15; ++i) {
    const double h = 6000.0 * i * factor;
    bins.push_back({static_cast<std::size_t>(40 + 10 * i), h, model.gamma(h)});
  }
  return bins;
}

TEST(VariogramFit, NeedsThreeBinsAndSomeDifference) {
  const std::vector<VariogramBin> two = {{10, 1000, 1}, {10, 2000, 2}};
  EXPECT_EQ(fit_variogram(two).status, FitStatus::too_few_bins);
  const std::vector<VariogramBin> flat = {{10, 1000, 0}, {10, 2000, 0}, {10, 3000, 0}};
  EXPECT_EQ(fit_variogram(flat).status, FitStatus::too_few_bins);
  EXPECT_EQ(fit_variogram({}).variogram, Variogram{});
}

TEST(VariogramFit, FindsThePureNugget) {
  const Variogram nugget{.nugget = 3, .partial_sill = 0};
  const auto fit = fit_variogram(bins_of(nugget));
  EXPECT_NEAR(fit.variogram.sill(), 3, 1e-9);
  EXPECT_NEAR(fit.variogram.gamma(6000), 3, 1e-9);
}

TEST(VariogramFit, SaysWhenTheRangeIsNotSeen) {
  std::vector<VariogramBin> straight;  // a trend: it rises without end
  for (int i = 1; i <= 10; ++i) straight.push_back({100, 1000.0 * i, 1.0 * i});
  const auto fit = fit_variogram(straight, {.max_range_m = 20000});
  EXPECT_EQ(fit.status, FitStatus::at_bound);
  EXPECT_NEAR(fit.variogram.range_m, 20000, 1);
}

TEST(VariogramFit, KeepsTheNuggetAtZeroWhenTold) {
  const Variogram model{.nugget = 1, .partial_sill = 2, .range_m = 20000};
  const auto fit = fit_variogram(bins_of(model), {.nugget = false});
  EXPECT_EQ(fit.variogram.nugget, 0);
  EXPECT_GT(fit.weighted_squares, 0);
}

TEST(VariogramFit, NeverGivesANegativeNuggetOrSill) {
  std::vector<VariogramBin> concave;  // would ask for a negative nugget, then falls
  for (int i = 1; i <= 10; ++i) concave.push_back({100, 1000.0 * i, i < 4 ? 0.1 * i * i : 0.4});
  for (const auto shape : {VariogramShape::spherical, VariogramShape::exponential}) {
    const auto fit = fit_variogram(concave, {.shape = shape});
    EXPECT_GE(fit.variogram.nugget, 0);
    EXPECT_GE(fit.variogram.partial_sill, 0);
    EXPECT_EQ(fit.variogram.problem(), std::nullopt);
  }
  std::vector<VariogramBin> falling;
  for (int i = 1; i <= 10; ++i) falling.push_back({100, 1000.0 * i, 5.0 - 0.3 * i});
  const auto fit = fit_variogram(falling);
  EXPECT_GE(fit.variogram.partial_sill, 0);
  EXPECT_EQ(fit.variogram.problem(), std::nullopt);
}

TEST(VariogramFit, SkipsBinsThatSayNothing) {
  const Variogram model{.nugget = 1, .partial_sill = 2, .range_m = 20000};
  auto bins = bins_of(model);
  bins.insert(bins.begin(), {5, 0, 17});
  bins.push_back({0, 99000, 40});
  bins.push_back({5, 99000, std::nan("")});
  EXPECT_NEAR(fit_variogram(bins).variogram.range_m, 20000, 20);
}

TEST(VariogramFit, RefusesImpossibleOptions) {
  const auto bins = bins_of({});
  EXPECT_THROW(fit_variogram(bins, {.smoothness = 0.0}), Error);
  EXPECT_THROW(fit_variogram(bins, {.min_range_m = -1}), Error);
  EXPECT_THROW(fit_variogram(bins, {.min_range_m = 5, .max_range_m = 5}), Error);
}

struct FitCase {
  Variogram model;
  FitWeights weights;
};

class VariogramFitLaw : public testing::TestWithParam<FitCase> {
 protected:
  VariogramFitOptions options() const {
    return {.shape = GetParam().model.shape, .weights = GetParam().weights};
  }
};

TEST_P(VariogramFitLaw, GivesTheModelBack) {
  const Variogram& want = GetParam().model;
  const auto fit = fit_variogram(bins_of(want), options());
  EXPECT_EQ(fit.status, FitStatus::ok);
  // Matern: range and smoothness nearly replace one another, and the search ends at 1e-4 or so.
  const double tolerance = want.shape == VariogramShape::matern ? 0.02 : 1e-4;
  EXPECT_NEAR(fit.variogram.nugget, want.nugget, tolerance * want.sill());
  EXPECT_NEAR(fit.variogram.partial_sill / want.partial_sill, 1, tolerance);
  EXPECT_NEAR(fit.variogram.range_m / want.range_m, 1, 2 * tolerance);
  for (const double h : {3000.0, 20000.0, 60000.0})
    EXPECT_NEAR(fit.variogram.gamma(h) / want.gamma(h), 1, 0.2 * tolerance + 1e-4);
}

TEST_P(VariogramFitLaw, ScalesWithGammaAndDistance) {
  auto bins = bins_of(GetParam().model);
  bins[3].gamma *= 1.1;  // so that the fit is not perfect
  bins[7].gamma *= 0.9;
  auto scaled = bins;
  for (VariogramBin& bin : scaled) bin = {bin.pairs, 7 * bin.distance_m, 5 * bin.gamma};
  const auto a = fit_variogram(bins, options()).variogram;
  const auto b = fit_variogram(scaled, options()).variogram;
  EXPECT_NEAR(b.range_m / (7 * a.range_m), 1, 1e-4);
  EXPECT_NEAR(b.nugget, 5 * a.nugget, 1e-4 * b.sill());
  EXPECT_NEAR(b.partial_sill / (5 * a.partial_sill), 1, 1e-4);
}

std::vector<FitCase> fit_cases() {
  std::vector<FitCase> cases;
  for (const auto weights :
       {FitWeights::pairs_over_distance_squared, FitWeights::pairs_over_gamma_squared})
    for (const auto shape : {VariogramShape::spherical, VariogramShape::exponential,
                             VariogramShape::gaussian, VariogramShape::matern})
      cases.push_back({{.shape = shape,
                        .nugget = 0.4,
                        .partial_sill = 2,
                        .range_m = shape == VariogramShape::spherical ? 50000.0 : 20000.0,
                        .smoothness = 0.9},
                       weights});
  return cases;
}

INSTANTIATE_TEST_SUITE_P(Shapes, VariogramFitLaw, testing::ValuesIn(fit_cases()));

}  // namespace
}  // namespace gaugeloom
