#pragma once
// What makes an hour a burst of its gauge alone.

#include <cstddef>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

inline constexpr double kLeastBurstMm = 5;
inline constexpr double kTimesNeighbours = 3;

// The depth that 99.9 % of the gauge's measured hours do not pass; 0 without any.
double own_high_mm(const CheckContext& context, std::size_t gauge);

// The most that any neighbour used had from the hour before to the hour after.
double wettest_neighbour_mm(const CheckContext& context, std::size_t gauge, std::size_t hour);

}  // namespace gaugeloom
