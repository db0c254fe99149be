#include "gaugeloom/interp/variogram.hpp"

#include <fmt/format.h>

#include <array>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 4> kShapeWords = {"spherical", "exponential", "gaussian",
                                                         "matern"};

double spherical(double ratio) {
  return ratio >= 1 ? 1.0 : ratio * (1.5 - 0.5 * ratio * ratio);
}

}  // namespace

double Variogram::gamma(double h_m) const {
  if (h_m <= 0) return 0;
  const double ratio = h_m / range_m;
  switch (shape) {
    case VariogramShape::spherical:
      return nugget + partial_sill * spherical(ratio);
    case VariogramShape::exponential:
      return nugget + partial_sill * (1 - portable_exp(-ratio));
    case VariogramShape::gaussian:
      return nugget + partial_sill * (1 - portable_exp(-ratio * ratio));
    case VariogramShape::matern:
      break;
  }
  return nugget + partial_sill * (1 - portable_exp(-ratio));
}

double Variogram::covariance(double h_m) const { return sill() - gamma(h_m); }

std::string_view word(VariogramShape shape) { return kShapeWords[static_cast<std::size_t>(shape)]; }

}  // namespace gaugeloom
