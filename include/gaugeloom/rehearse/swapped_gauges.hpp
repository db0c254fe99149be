#pragma once
// Two gauges stored under each other's name.

#include <cstddef>

#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// Exchanges the steps in `swapped` of two gauges, missing ones included.
// Law: doing it twice changes nothing. Requires: rows and steps of the table.
void swap_gauges(RainTable& table, std::size_t first_gauge, std::size_t second_gauge,
                 StepAxis::Range swapped);

}  // namespace gaugeloom
