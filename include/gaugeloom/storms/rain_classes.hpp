#pragma once
// Round classes of rain totals, for legends and isohyets.

#include <cstddef>
#include <span>
#include <vector>

namespace gaugeloom {

// Bounds of the classes of totals between `lowest_mm` and `highest_mm`: rising multiples of one
// step (1, 2 or 5 times a power of ten, at least 0.1 mm and a millionth of the highest) of which
// the first is at most the lowest and the last at least the highest; the smallest step that makes
// no more than `most` classes. One class at least; one bound, 0, where nothing fell.
// Requires:  0 <= lowest_mm <= highest_mm < infinity, most >= 2.
std::vector<double> class_bounds_mm(double lowest_mm, double highest_mm, std::size_t most = 10);

// The class of a total: how many bounds but the first and the last lie at or below it.
std::size_t class_of(std::span<const double> bounds_mm, double total_mm);

// Decimals that tell the bounds apart: 1 below steps of 1 mm, else 0.
int class_decimals(std::span<const double> bounds_mm);

}  // namespace gaugeloom
