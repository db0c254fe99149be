#pragma once
// From neighbour estimates to depths: the amount from the raw scale, the course from wet steps.

#include <cstddef>
#include <span>
#include <vector>

#include "fill/neighbour_estimates_internal.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"

namespace gaugeloom::fill_internal {

// Parts the record at dry times: a new spell begins after `dry_steps` steps in a row in each of
// which fewer than a tenth of the usable gauges are wet (our choice, as for storms). Returns the
// ends of the spells, rising, the last one being the number of steps. A record without steps has
// none.
std::vector<std::size_t> spell_ends(const RainTable& depths, const Donors& donors,
                                    std::size_t dry_steps);

struct CourseRule {
  FillMethod method = FillMethod::inverse_distance;
  double threshold = 0;        // dry where the root estimate is below it
  double factor = 1;           // on all amounts
  std::size_t mass_steps = 1;  // the amount is kept within runs of so many steps
};

// Depths of one gauge over the steps that are `asked` (their estimates must be finite), others are
// left as they are in `depth`. Within a piece of `mass_steps` steps of one spell the asked steps
// get the sum of their amounts, laid on the wet ones. A piece without a wet step hands its amount
// to the next of the spell if that is asked for; what is left otherwise is lost (`factor` is
// learned with that).
void lay_course(const NeighbourEstimates& estimates, std::span<const char> asked,
                std::span<const std::size_t> spells, const CourseRule& rule,
                std::span<float> depth_mm);

}  // namespace gaugeloom::fill_internal
