#include "fill/spread_total_internal.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace gaugeloom::fill_internal {

std::vector<long> split_thousandths(double total_mm, std::span<const double> shape) {
  const long total = std::lround(total_mm * 1000);
  const double sum = std::accumulate(shape.begin(), shape.end(), 0.0);
  std::vector<long> parts(shape.size(), 0);
  std::vector<double> remainders(shape.size(), 0);
  std::vector<std::size_t> order;
  long rest = total;
  for (std::size_t i = 0; i < shape.size(); ++i) {
    if (shape[i] <= 0) continue;
    const double exact = static_cast<double>(total) * (shape[i] / sum);
    parts[i] = static_cast<long>(exact);
    remainders[i] = exact - static_cast<double>(parts[i]);
    rest -= parts[i];
    order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
  for (std::size_t k = 0; rest > 0; k = (k + 1) % order.size(), --rest) ++parts[order[k]];
  for (std::size_t k = order.size(); rest < 0; ++rest) {  // only by rounding of huge totals
    do k = (k == 0 ? order.size() : k) - 1;
    while (parts[order[k]] == 0);
    --parts[order[k]];
  }
  return parts;
}

}  // namespace gaugeloom::fill_internal
