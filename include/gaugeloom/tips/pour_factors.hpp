#pragma once
// What pours say of a bucket, applied to the rain after them.

#include <span>
#include <vector>

#include "gaugeloom/tips/inflow.hpp"
#include "gaugeloom/tips/pour_check.hpp"

namespace gaugeloom {

// Fewer tips tell a bucket to no better than 3.4 %; a pour with fewer changes nothing. Our choice.
inline constexpr std::size_t kLeastPourTips = 20;

// From `from` until the next one a tip is worth `factor` times what the list and the correction for
// intensity say; before the first, just that.
struct BucketFactor {
  Instant from;
  double factor = 1;

  bool operator==(const BucketFactor&) const = default;
};

// The factors of a gauge, by time, each unlike the one before. A pour holds from the end of its
// visit until the next pour, or until the gauge got another bucket (a row of its history). Water
// lost in turning is in the tips of a pour too, and is corrected by itself; so the factor is that
// of the pour over the correction at its intensity. Where its 90 % band holds 1 the listed bucket
// is right, and holds from then on.
//   checks   pours of one counter, in any order
// Requires: facts.rows not empty; a table where the correction is `table`.
std::vector<BucketFactor> pour_factors(std::span<const PourCheck> checks, const GaugeFacts& facts,
                                       IntensityCorrection correction,
                                       const InflowOptions& options = {});

// Multiplies corrected depths and rates by the factor that holds where an inflow ends, and keeps in
// by_pours_mm what that adds. Laws (each one is a test): (1) counted depths and tips stay; (2) the
// corrected depth before = the corrected depth after - by_pours_mm.
void apply_factors(std::span<const BucketFactor> factors, InflowSeries& series);

}  // namespace gaugeloom
