#include "gaugeloom/interp/variogram.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "interp/matern_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::array kShapes = {VariogramShape::spherical, VariogramShape::exponential,
                                VariogramShape::gaussian, VariogramShape::matern};

Variogram model(VariogramShape shape) {
  return {.shape = shape, .nugget = 0.25, .partial_sill = 2, .range_m = 20000, .smoothness = 1.3};
}

TEST(Variogram, HasItsTextbookValues) {
  Variogram v{.shape = VariogramShape::spherical, .nugget = 1, .partial_sill = 4, .range_m = 10};
  EXPECT_DOUBLE_EQ(v.gamma(5), 1 + 4 * (0.75 - 0.0625));
  EXPECT_DOUBLE_EQ(v.gamma(10), 5);
  EXPECT_DOUBLE_EQ(v.gamma(11), 5);
  v.shape = VariogramShape::exponential;
  EXPECT_NEAR(v.gamma(10), 5 - 4 * std::exp(-1.0), 1e-14);
  v.shape = VariogramShape::gaussian;
  EXPECT_NEAR(v.gamma(20), 5 - 4 * std::exp(-4.0), 1e-14);
}

TEST(Variogram, StartsAtZeroAndRisesToTheSill) {
  for (const auto shape : kShapes) {
    const Variogram v = model(shape);
    EXPECT_EQ(v.gamma(0), 0);
    EXPECT_EQ(v.covariance(0), v.sill());
    EXPECT_EQ(v.structured_covariance(0), v.partial_sill);
    EXPECT_NEAR(v.gamma(1e-3), v.nugget, 1e-6);
    EXPECT_NEAR(v.gamma(1e7), v.sill(), 1e-12);
    double before = 0;
    for (double h = 100; h < 2e5; h *= 1.1) {
      EXPECT_GE(v.gamma(h), before);
      before = v.gamma(h);
    }
  }
}

TEST(Variogram, CovarianceAndGammaAddUpToTheSill) {
  for (const auto shape : kShapes)
    for (const double h : {1.0, 500.0, 7000.0, 20000.0, 1e6}) {
      const Variogram v = model(shape);
      EXPECT_NEAR(v.covariance(h) + v.gamma(h), v.sill(), 1e-14);
      EXPECT_EQ(v.covariance(h), v.structured_covariance(h));
    }
}

TEST(Variogram, ManyDistancesGiveTheSameBitsAsOne) {
  const std::vector<double> distances = {0, 1e-9, 3, 1234.5, 20000, 30000, 1e9};
  std::vector<double> all(distances.size()), structured(distances.size());
  for (const auto shape : kShapes) {
    const Variogram v = model(shape);
    covariances(v, distances, all);
    structured_covariances(v, distances, structured);
    for (std::size_t i = 0; i < distances.size(); ++i) {
      EXPECT_EQ(all[i], v.covariance(distances[i]));
      EXPECT_EQ(structured[i], v.structured_covariance(distances[i]));
    }
  }
}

TEST(Variogram, NamesTheFirstBrokenRule) {
  EXPECT_EQ(Variogram{}.problem(), std::nullopt);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_TRUE(Variogram{.nugget = -1}.problem()->starts_with("nugget is -1"));
  EXPECT_TRUE(Variogram{.nugget = nan}.problem().has_value());
  EXPECT_TRUE(Variogram{.partial_sill = nan}.problem().has_value());
  EXPECT_TRUE(Variogram{.partial_sill = 0}.problem().has_value());
  EXPECT_FALSE((Variogram{.nugget = 1, .partial_sill = 0}.problem().has_value()));
  EXPECT_TRUE(Variogram{.range_m = 0}.problem()->starts_with("range is 0 m"));
  EXPECT_TRUE(Variogram{.range_m = std::numeric_limits<double>::infinity()}.problem().has_value());
  Variogram matern{.shape = VariogramShape::matern, .smoothness = 0.05};
  EXPECT_TRUE(matern.problem()->starts_with("smoothness is 0.05"));
  matern.shape = VariogramShape::spherical;  // where it does not matter
  EXPECT_FALSE(matern.problem().has_value());
}

TEST(Variogram, ReadsItsOwnWords) {
  for (const auto shape : kShapes) EXPECT_EQ(parse_variogram_shape(word(shape)), shape);
  EXPECT_EQ(parse_variogram_shape("linear"), std::nullopt);
  EXPECT_EQ(parse_variogram_shape(""), std::nullopt);
}

TEST(Variogram, DescribesItself) {
  EXPECT_EQ(describe({.shape = VariogramShape::spherical,
                      .nugget = 0.1,
                      .partial_sill = 0.9,
                      .range_m = 60000}),
            "0.1 nugget + 0.9 spherical 60.0 km");
  EXPECT_EQ(describe(model(VariogramShape::matern)),
            "0.25 nugget + 2 matern 20.0 km smoothness 1.3");
}

TEST(Matern, GammaFunctionAgreesWithTheLibrarys) {
  for (double x = 0.1; x < 11; x += 0.0371)
    EXPECT_NEAR(portable_gamma(x) / std::tgamma(x), 1, 1e-13) << x;
}

TEST(Matern, BesselFunctionAgreesWithTheLibrarys) {
  for (const double order : {0.0, 0.1, 0.35, 1.0, 1.7, 3.2, 10.0})
    for (double x = 1e-6; x < 600; x *= 2.3) {
      const double want = std::cyl_bessel_k(order, x);
      EXPECT_NEAR(bessel_k(order, x) / want, 1, 1e-11) << order << " " << x;
    }
}

TEST(Matern, BesselFunctionHasItsTabulatedValues) {
  // Abramowitz and Stegun, tables 9.8 and 9.11 (memory; agrees with the library's function).
  EXPECT_NEAR(bessel_k(0, 1), 0.4210244382, 1e-10);
  EXPECT_NEAR(bessel_k(1, 1), 0.6019072302, 1e-10);
  EXPECT_NEAR(bessel_k(2, 1), 1.6248388986, 1e-10);
}

TEST(Matern, HalfIntegerFormsAgreeWithTheIntegral) {
  for (const double smoothness : {0.5, 1.5, 2.5})
    for (double ratio = 1e-7; ratio < 300; ratio *= 1.9) {
      const double integral = 2 / portable_gamma(smoothness) * std::pow(ratio / 2, smoothness) *
                              bessel_k(smoothness, ratio);
      EXPECT_NEAR(MaternCorrelation(smoothness)(ratio), integral, 1e-12) << ratio;
    }
}

TEST(Matern, StaysBetweenZeroAndOneAtAnyDistance) {
  for (const double smoothness : {0.1, 0.3, 0.9, 4.0, 10.0})
    for (double ratio = 1e-300; ratio < 1e300; ratio *= 1e3) {
      const double rho = MaternCorrelation(smoothness)(ratio);
      EXPECT_GE(rho, 0);
      EXPECT_LE(rho, 1);
    }
}

}  // namespace
}  // namespace gaugeloom
