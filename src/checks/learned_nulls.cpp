#include "gaugeloom/checks/learned_nulls.hpp"

#include <algorithm>

namespace gaugeloom {

const LearnedThreshold* LearnedNulls::threshold(FindingKind kind) const {
  const auto found = std::find_if(thresholds.begin(), thresholds.end(),
                                  [kind](const LearnedThreshold& t) { return t.kind == kind; });
  return found == thresholds.end() ? nullptr : &*found;
}

}  // namespace gaugeloom
