#pragma once
// What a healthy gauge reads in an hour, given what its neighbours lead us to expect: the network's
// own law, as a table of probabilities over classes of depth.

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/law_values.hpp"

namespace gaugeloom {

// Lower edges of the classes of depth that a gauge reads, in mm; class 0 is no rain at all.
inline constexpr std::array<double, 14> kHourClassEdgesMm = {0,   1e-6, 0.25, 0.45, 0.65, 0.9, 1.3,
                                                             1.9, 2.7,  3.9,  5.5,  8,    12,  18};
inline constexpr std::size_t kHourClasses = kHourClassEdgesMm.size();

std::size_t hour_class(double depth_mm);

// What was expected of an hour: a row of the law. Row 0 is dry all around from the hour before to
// the hour after; row 1 less than 0.05 mm; then three rows for every bin of expected depth, by the
// share of the neighbours that were wet (below 1/2, below 9/10, more).
using HourRow = std::uint8_t;
inline constexpr HourRow kDryAroundRow = 0;
HourRow hour_row(double expected_mm, double wet_share);

class HourLaw {
 public:
  // Without data: every class is as likely as any other.
  HourLaw();

  // Learns from hours that are measured, testable and not excluded. Every cell is shrunk to its bin
  // of expected depth over all wet shares, and that one to a broad law around what was expected.
  static HourLaw learned(const RainTable& depths, const ExpectedDepths& expected,
                         const Exclusions& excluded);

  // The list "probability", row by row; from() throws as LawValues.
  LawValues values() const;
  static HourLaw from(const LawValues& values);

  double probability(HourRow row, std::size_t depth_class) const {
    return probability_[row * kHourClasses + depth_class];
  }

 private:
  std::vector<double> probability_;  // row by row; each row adds up to 1
};

// The row of hour `hour` of a gauge. Requires an estimate there.
HourRow row_of_hour(const ExpectedDepths& expected, std::size_t gauge, std::size_t hour);

}  // namespace gaugeloom
