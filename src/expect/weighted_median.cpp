#include <algorithm>

#include "expect/weighted_median_internal.hpp"

namespace gaugeloom {

double weighted_median(std::vector<WeightedValue> sample) {
  std::sort(sample.begin(), sample.end(), [](const WeightedValue& a, const WeightedValue& b) {
    return a.value != b.value ? a.value < b.value : a.weight < b.weight;
  });
  double total = 0;
  for (const WeightedValue& s : sample) total += s.weight;
  double below = 0;
  for (const WeightedValue& s : sample) {
    below += s.weight;
    if (below >= total / 2) return s.value;
  }
  return 0;
}

}  // namespace gaugeloom
