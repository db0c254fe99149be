#pragma once
// The plain robust score of single values against a sample.

#include <span>

namespace gaugeloom {

// How far a value lies from the middle of a sample, in units that for a normal sample are about its
// standard deviation: 0.6745 (value - median) / (median of |value - median| over the sample).
//
// Source: B. Iglewicz and D. Hoaglin, How to Detect and Handle Outliers, 1993, which holds values
// beyond 3.5 to be outliers. On clean normal samples some pass that all the same: one sample in
// eight of 10 values, one in eleven of 30.
class ModifiedZ {
 public:
  // A sample of which half or more are equal has no spread: its mean of |value - median| times
  // 1.2533 (of a normal law, the standard deviation) stands in. Cost: linear.
  explicit ModifiedZ(std::span<const double> sample);

  // 0 for every value when the sample is empty or all its values are equal.
  double operator()(double value) const { return (value - median_) * per_unit_; }

 private:
  double median_ = 0;
  double per_unit_ = 0;
};

}  // namespace gaugeloom
