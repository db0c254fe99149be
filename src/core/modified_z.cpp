#include "gaugeloom/core/modified_z.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace gaugeloom {
namespace {

constexpr double kNormalQuartile = 0.6745;    // of the standard normal law
constexpr double kMeanDeviations = 1.253314;  // standard deviations in a mean deviation: sqrt(pi/2)

// Of an even number, the middle of the middle two.
double median_of(std::vector<double>& values) {
  const auto upper = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), upper, values.end());
  if (values.size() % 2 == 1) return *upper;
  return (*std::max_element(values.begin(), upper) + *upper) / 2;
}

}  // namespace

ModifiedZ::ModifiedZ(std::span<const double> sample) {
  if (sample.empty()) return;
  std::vector<double> values(sample.begin(), sample.end());
  median_ = median_of(values);
  double sum = 0;
  for (double& value : values) {
    value = std::abs(value - median_);
    sum += value;
  }
  const double middle = median_of(values);
  if (middle > 0) {
    per_unit_ = kNormalQuartile / middle;
  } else if (sum > 0) {
    per_unit_ = static_cast<double>(values.size()) / (kMeanDeviations * sum);
  }
}

}  // namespace gaugeloom
