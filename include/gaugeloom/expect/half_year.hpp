#pragma once
// The two halves of the year that laws of rain may differ by.

#include <cstddef>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

inline constexpr std::size_t kHalfYears = 2;

// 0 from May to October, 1 from November to April, in UTC. Which of them has the more convective
// rain depends on the hemisphere; the laws learn it. Cost: a few divisions.
std::size_t half_year(Instant t);

}  // namespace gaugeloom
