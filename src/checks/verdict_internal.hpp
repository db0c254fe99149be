#pragma once
// From findings to verdicts: overlaps settled, a quality for every step, a summary of every gauge.

#include <vector>

#include "gaugeloom/checks/check_network.hpp"

namespace gaugeloom {

// Hours in which the gauge is measured and has an estimate.
std::size_t testable_hours(const CheckContext& context, std::size_t gauge);

// One fault, one name. Where a gauge is called blocked and partly blocked at once, the trickle
// decides: at least 4 % of what was expected over the partly blocked spell keeps that name, unless
// the silence alone is 70 % of that spell by expected depth. A silence that a dead counter explains
// is not blocked. Under a clock that is 3 hours off or more, silences told by one storm, partial
// blocks, phantom rain and bursts told after it went wrong are the clock's; one that is late by
// less, told while the gauge is partly blocked, is the outlet's lag. Of these the one that is kept
// was called when the first of them was, and between a clock and the others it is as sure as the
// surest.
// What is counted twice does not read high. Reading low or high to the end of a drift is that
// drift. Phantom rain that is an impossible rate, a stuck value, a release burst or the drip of a
// partial block has that name.
void settle_overlaps(std::vector<Finding>& findings);
void sort_findings(std::vector<Finding>& findings);  // by gauge, from, kind

QualityTable quality_table(const CheckContext& context, const RainRecord& record,
                           const std::vector<Finding>& findings);
std::vector<GaugeSummary> gauge_summaries(const CheckContext& context,
                                          const std::vector<LearnedThreshold>& thresholds);
std::vector<GaugeDoubleMass> double_mass_points(const CheckContext& context);
std::vector<LearnedMissRate> learned_miss_rates(const MissLaw& law);

}  // namespace gaugeloom
