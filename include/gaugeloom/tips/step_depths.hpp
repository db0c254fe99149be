#pragma once
// Inflow to depth per step, by the linear mass curve: what fell evenly over a time is shared among
// the steps by the time it shares with them.

#include <span>
#include <vector>

#include "gaugeloom/time/step_axis.hpp"
#include "gaugeloom/tips/inflow.hpp"

namespace gaugeloom {

struct StepDepths {
  std::vector<double> counted_mm;    // one per step
  std::vector<double> corrected_mm;  // the same
};

// An inflow of no length stands in the step that holds its instant, [begin, end); one that ends
// where a step does belongs to that step.
// Law (a test): each column adds up to its inflows, to rounding.
// Requires: all inflows within axis.span(). Cost: one pass over inflows and steps.
StepDepths step_depths(std::span<const Inflow> inflows, const StepAxis& axis);

// Rounds to whole thousandths of a mm, carrying what was rounded off to the next depth above 0, so
// that written depths add up to the true total: any sum of consecutive ones is within 0.001 mm.
// Laws (each one is a test): 0 stays 0; nothing becomes negative.
void round_to_thousandths(std::span<double> depths_mm);

}  // namespace gaugeloom
