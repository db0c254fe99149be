#include <algorithm>
#include <numeric>
#include <utility>

#include "interp/neighbours_internal.hpp"

namespace gaugeloom {

std::vector<std::size_t> nearest_gauges(std::span<const MetricPoint> gauges,
                                        std::span<const std::size_t> candidates,
                                        const MetricPoint& target, int count) {
  std::vector<std::size_t> chosen(candidates.begin(), candidates.end());
  const auto wanted = static_cast<std::size_t>(count);
  if (count == 0 || wanted >= chosen.size()) return chosen;
  std::vector<std::pair<double, std::size_t>> by_distance;
  by_distance.reserve(chosen.size());
  for (const std::size_t i : chosen) by_distance.emplace_back(distance_m(gauges[i], target), i);
  const auto end = by_distance.begin() + count;
  std::nth_element(by_distance.begin(), end - 1, by_distance.end());
  chosen.resize(wanted);
  std::transform(by_distance.begin(), end, chosen.begin(), [](const auto& p) { return p.second; });
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

std::vector<std::size_t> all_indices(std::size_t count) {
  std::vector<std::size_t> indices(count);
  std::iota(indices.begin(), indices.end(), std::size_t{0});
  return indices;
}

std::vector<std::size_t> present_indices(std::span<const double> values) {
  std::vector<std::size_t> indices;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (values[i] == values[i]) indices.push_back(i);
  return indices;
}

}  // namespace gaugeloom
