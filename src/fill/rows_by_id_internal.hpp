#pragma once
// The order in which gauges are worked on: nothing may depend on the order of a file.

#include <cstddef>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom::fill_internal {

// Rows of the network in the order of their ids.
std::vector<std::size_t> rows_by_id(const Network& network);

}  // namespace gaugeloom::fill_internal
