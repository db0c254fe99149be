#include "fill/ground_internal.hpp"

#include <cmath>

namespace gaugeloom::fill_internal {

std::vector<char> testable_steps(const Ground& ground, std::size_t gauge,
                                 const NeighbourEstimates& estimates) {
  std::vector<char> testable(ground.steps(), 0);
  for (std::size_t s = 0; s < testable.size(); ++s)
    testable[s] =
        ground.donors.is_good(gauge, s) && estimates.support[s] != Support::few_neighbours;
  return testable;
}

}  // namespace gaugeloom::fill_internal
