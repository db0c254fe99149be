#include "gaugeloom/tips/pour_factors.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

// What a gauge corrects at a steady indicated intensity.
double intensity_factor(const PourCheck& check, const GaugeFacts& facts,
                        IntensityCorrection correction, const InflowOptions& options) {
  if (correction == IntensityCorrection::table) {
    GAUGELOOM_ASSERT(facts.table);
    return facts.table->factor(check.intensity_mm_h);
  }
  if (correction == IntensityCorrection::tip_loss)
    return tip_loss_factor(3600 * check.bucket_mm / check.intensity_mm_h, check.bucket_mm,
                           options.loss_time_s);
  return 1;
}

}  // namespace

std::vector<BucketFactor> pour_factors(std::span<const PourCheck> checks, const GaugeFacts& facts,
                                       IntensityCorrection correction,
                                       const InflowOptions& options) {
  GAUGELOOM_ASSERT(!facts.rows.empty());
  std::vector<BucketFactor> all;
  for (const Gauge& row : facts.rows)
    if (row.opened) all.push_back({*row.opened, 1});
  for (const PourCheck& check : checks) {
    if (check.tips < kLeastPourTips || !(check.intensity_mm_h > 0)) continue;
    const double as_listed_mm =
        check.bucket_mm * intensity_factor(check, facts, correction, options);
    const bool is_listed = check.low_mm <= as_listed_mm && as_listed_mm <= check.high_mm;
    all.push_back({check.pour.over.to, is_listed ? 1 : check.true_mm / as_listed_mm});
  }
  std::ranges::stable_sort(all, {}, &BucketFactor::from);
  std::vector<BucketFactor> changes;
  double now = 1;
  for (const BucketFactor& one : all) {
    if (one.factor == now) continue;
    changes.push_back(one);
    now = one.factor;
  }
  return changes;
}

void apply_factors(std::span<const BucketFactor> factors, InflowSeries& series) {
  std::size_t next = 0;
  double factor = 1;
  for (Inflow& inflow : series.inflows) {
    for (; next < factors.size() && factors[next].from <= inflow.to; ++next)
      factor = factors[next].factor;
    const double before_mm = inflow.corrected_mm;
    inflow.corrected_mm *= factor;
    inflow.rate_mm_h *= factor;
    inflow.by_pours_mm = inflow.corrected_mm - before_mm;
  }
}

}  // namespace gaugeloom
