#include "gaugeloom/rehearse/plain_ways.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr int kRatioNeighbours = 4;
constexpr int kInverseNeighbours = 16;

double mean_known(std::span<const float> row) {
  double sum = 0;
  std::size_t count = 0;
  for (const float mm : row)
    if (!std::isnan(mm)) {
      sum += static_cast<double>(mm);
      ++count;
    }
  return count > 0 ? sum / static_cast<double>(count) : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

PlainWays::PlainWays(const Network& network, const RainTable& known)
    : known_(known), by_distance_(network.size()) {
  const auto positions = network.positions();
  for (std::size_t g = 0; g < network.size(); ++g) {
    for (std::size_t j = 0; j < network.size(); ++j)
      if (j != g) by_distance_[g].push_back({distance_m(positions[g], positions[j]), j});
    std::sort(by_distance_[g].begin(), by_distance_[g].end());
    mean_.push_back(mean_known(known.row(g)));
  }
}

PlainDepths PlainWays::at(std::size_t gauge, std::size_t step) const {
  PlainDepths plain;
  double inverse = 0;
  double weights = 0;
  double ratios = 0;
  int used = 0;
  for (const auto& [distance, j] : by_distance_[gauge]) {
    const auto mm = static_cast<double>(known_.depth_mm(j, step));
    if (std::isnan(mm)) continue;
    const double weight = 1 / std::max(1.0, distance * distance);
    if (used == 0) plain.nearest = mm;
    inverse += weight * mm;
    weights += weight;
    if (used < kRatioNeighbours && mean_[j] > 0)
      ratios += mm * mean_[gauge] / mean_[j] / kRatioNeighbours;
    if (++used == kInverseNeighbours) break;
  }
  if (used >= kRatioNeighbours) plain.normal_ratio = ratios;
  if (used > 0) plain.inverse = inverse / weights;
  return plain;
}

}  // namespace gaugeloom
