#include "gaugeloom/checks/check_context.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {

const LearnedThreshold* CheckContext::frozen_threshold(FindingKind kind, std::size_t scales,
                                                       double least_scale) const {
  if (frozen == nullptr) return nullptr;
  const LearnedThreshold* found = frozen->threshold(kind);
  const bool fits = found != nullptr && found->scales.size() == scales &&
                    std::all_of(found->scales.begin(), found->scales.end(),
                                [&](double scale) { return scale >= least_scale; });
  if (!fits)
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("what was learned elsewhere has no threshold for {}, or not the {} "
                            "scales that it needs",
                            word(kind), scales));
  return found;
}

}  // namespace gaugeloom
