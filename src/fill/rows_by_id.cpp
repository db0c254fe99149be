#include "fill/rows_by_id_internal.hpp"

#include <algorithm>
#include <numeric>

namespace gaugeloom::fill_internal {

std::vector<std::size_t> rows_by_id(const Network& network) {
  std::vector<std::size_t> rows(network.size());
  std::iota(rows.begin(), rows.end(), std::size_t{0});
  std::sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) {
    return network.gauges[a].id < network.gauges[b].id;
  });
  return rows;
}

}  // namespace gaugeloom::fill_internal
