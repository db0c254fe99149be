#pragma once
// The weighted median: half of the weight lies at or below it.

#include <vector>

namespace gaugeloom {

struct WeightedValue {
  double value = 0;
  double weight = 0;  // >= 0
};

// 0 for an empty sample. The order of the sample does not matter.
double weighted_median(std::vector<WeightedValue> sample);

}  // namespace gaugeloom
