#pragma once
// One probability from many that depend on each other in unknown ways.
// Source: Y. Liu and J. Xie, Journal of the American Statistical Association 115, 2020 (Cauchy
// combination test).

#include <cstddef>
#include <span>

namespace gaugeloom {

struct WeightedProbability {
  double probability = 0.5;  // under the null uniform, or a mid-p
  double weight = 1;         // above 0
};

struct CombinedEvidence {
  double probability = 0.5;
  std::size_t strongest = 0;  // which spoke loudest; 0 when there is none
};

// p = 1/2 - atan(T) / pi with T = sum of w tan((1/2 - p) pi) over the sum of w. Probabilities are
// clipped to [1e-15, 0.99] first: what is quite ordinary must not outweigh what is not.
//
// Laws: (1) a single probability (unclipped) comes back; (2) equal ones combine to themselves;
//       (3) the order does not matter beyond rounding; (4) under the null and any usual dependence
//       small results come about as often as they say.
// Nothing to combine: 1/2. Cost: a few dozen operations each.
CombinedEvidence combined_evidence(std::span<const WeightedProbability> parts);

}  // namespace gaugeloom
