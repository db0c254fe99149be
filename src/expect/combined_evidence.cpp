#include "gaugeloom/expect/combined_evidence.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace gaugeloom {
namespace {

constexpr double kLeast = 1e-15;
constexpr double kMost = 0.99;
constexpr double kPi = std::numbers::pi;

// Series, so that the bytes do not depend on the processor.
// sin(x) / cos(x) for |x| <= pi / 4.
double tangent(double x) {
  const double square = x * x;
  double sine = 0;
  double cosine = 0;
  for (int n = 19; n >= 1; n -= 2) {
    sine = 1 - square / ((n + 1) * (n + 2)) * sine;
    cosine = 1 - square / (n * (n + 1)) * cosine;
  }
  return x * sine / cosine;
}

// tan((1/2 - p) pi) = 1 / tan(p pi), 0 < p < 1.
double cauchy_score(double p) {
  if (p < 0.25) return 1 / tangent(p * kPi);
  if (p > 0.75) return -1 / tangent((1 - p) * kPi);
  return tangent((0.5 - p) * kPi);
}

// For 0 <= t <= 1; halving the angle twice, then the series.
double arc_tangent(double t) {
  double half = t;
  for (int i = 0; i < 2; ++i) half = half / (1 + std::sqrt(1 + half * half));
  const double square = half * half;
  double sum = 0;
  for (int n = 25; n >= 1; n -= 2) sum = 1.0 / n - square * sum;
  return 4 * half * sum;
}

// The p of a score: the inverse of cauchy_score.
double share_above(double score) {
  if (score > 1) return arc_tangent(1 / score) / kPi;
  if (score < -1) return 1 - arc_tangent(-1 / score) / kPi;
  return 0.5 - (score < 0 ? -arc_tangent(-score) : arc_tangent(score)) / kPi;
}

}  // namespace

CombinedEvidence combined_evidence(std::span<const WeightedProbability> parts) {
  CombinedEvidence out;
  double sum = 0;
  double weights = 0;
  double loudest = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const double part =
        parts[i].weight * cauchy_score(std::clamp(parts[i].probability, kLeast, kMost));
    if (i == 0 || part > loudest) {
      loudest = part;
      out.strongest = i;
    }
    sum += part;
    weights += parts[i].weight;
  }
  if (weights > 0) out.probability = share_above(sum / weights);
  return out;
}

}  // namespace gaugeloom
