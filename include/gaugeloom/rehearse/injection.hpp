#pragma once
// Where and when a fault is planted, and the planting.

#include <optional>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/expect/neighbourhood.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/rehearse/fault_variants.hpp"

namespace gaugeloom {

struct InjectedFault {
  std::size_t variant = 0;  // in fault_variants()
  std::size_t gauge = 0;
  std::size_t other = 0;  // the gauge it is swapped with, else the same
  StepAxis::Range over;   // steps of the table; a release comes after it
};

// Draws when a fault of `variant` befalls `gauge`. Its beginning is drawn in calendar time, not in
// wet time (but phantom tips fall on a dry spell, and a missed shower needs a local shower: one
// during which at least a quarter of the gauge's neighbours had no rain). Nothing when the table is
// too short for it, the gauge has measured less than 80 % of the steps, or the step cannot show it
// (a shift of less than a step).
std::optional<InjectedFault> draw_fault(const Neighbourhoods& around, const RainTable& table,
                                        std::size_t variant, std::size_t gauge, Random& random);

// Plants it. Rows other than fault.gauge and fault.other stay as they are.
void inject(RainTable& table, const Network& network, const InjectedFault& fault);

// All gauges in groups such that no gauge is held against two of one group and none of a group is
// held against another: faults planted in one group at once do not meet. Order drawn from `random`.
// Law: every gauge stands in exactly one group. Cost: gauges squared times neighbours, at most.
std::vector<std::vector<std::size_t>> far_groups(const Neighbourhoods& around, Random& random);

}  // namespace gaugeloom
