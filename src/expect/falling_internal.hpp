#pragma once
// The closest sequence that never rises: pool adjacent violators.
// Source: R. E. Barlow et al., Statistical Inference under Order Restrictions, Wiley 1972, section
// 1.2 (from memory).

#include <span>

namespace gaugeloom {

// Replaces `values` by the never-rising sequence of the least weighted sum of squares.
// Requires: as many weights as values, all above 0. Cost: linear.
void make_falling(std::span<double> values, std::span<const double> weights);

}  // namespace gaugeloom
