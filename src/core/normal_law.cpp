#include "gaugeloom/core/normal_law.hpp"

#include <cmath>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kInverseRootTwoPi = 0.39894228040143267794;
constexpr double kFarthest = 8;  // beyond it lies less than 1e-15 of the law
constexpr int kHalvings = 44;

double share_above(double z) {  // z >= 0
  const double t = 1 / (1 + 0.2316419 * z);
  const double series =
      t *
      (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return kInverseRootTwoPi * portable_exp(-z * z / 2) * series;
}

}  // namespace

double normal_share(double z) noexcept { return z < 0 ? share_above(-z) : 1 - share_above(z); }

double normal_quantile(double share) noexcept {
  double from = -kFarthest;
  double to = kFarthest;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (from + to) / 2;
    (normal_share(middle) < share ? from : to) = middle;
  }
  return (from + to) / 2;
}

}  // namespace gaugeloom
