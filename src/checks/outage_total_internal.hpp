#pragma once
// The total of an outage, read at once when the readings come back.

#include <vector>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Looks at the first measured step after every run of missing steps of an hour or more. A total is
// a step of at least 5 mm, above the gauge's own 99.9 % point of hours, at least three times what
// any neighbour used had from the hour before to the hour after, and a third to three times what
// the neighbours lead us to expect over the run, of which four fifths must be known. A finding
// reaches from the beginning of the run to the end of that step. Score: depth over three times the
// wettest neighbour plus 1 mm. Confirmed from 10 mm on. Cost: one pass over the steps, then one
// over the hours of each run.
std::vector<Finding> outage_totals(const CheckContext& context);

}  // namespace gaugeloom
