#include <algorithm>
#include <utility>

#include "gaugeloom/core/parallel.hpp"
#include "interp/neighbour_table_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kPointsPerPiece = 512;

void list_neighbours(const GaugeIndex& search, std::size_t point, std::size_t place,
                     NeighbourTable& table) {
  const auto found = search.nearest(search.points()[point], table.columns + 1);
  std::size_t column = 0;
  for (const Neighbour& neighbour : found) {
    if (neighbour.index == point || column == table.columns) continue;
    table.index[place * table.columns + column] = static_cast<std::uint32_t>(neighbour.index);
    table.distance_m[place * table.columns + column] = neighbour.distance_m;
    ++column;
  }
}

// Puts 16 bits at every other place.
std::uint64_t spread_bits(std::uint64_t bits) {
  bits = (bits | (bits << 8)) & 0x00ff00ffU;
  bits = (bits | (bits << 4)) & 0x0f0f0f0fU;
  bits = (bits | (bits << 2)) & 0x33333333U;
  return (bits | (bits << 1)) & 0x55555555U;
}

}  // namespace

NeighbourTable neighbour_table(const GaugeIndex& index, std::span<const std::uint32_t> order,
                               std::size_t columns, int threads) {
  NeighbourTable table;
  const auto points = index.points();
  const std::size_t others = points.empty() ? 0 : points.size() - 1;
  table.columns = std::min(columns, others);
  table.whole = table.columns == others;
  table.index.resize(points.size() * table.columns);
  table.distance_m.resize(points.size() * table.columns);
  if (table.columns == 0) return table;
  const std::size_t pieces = (points.size() + kPointsPerPiece - 1) / kPointsPerPiece;
  parallel_for(pieces, threads, [&](std::size_t piece) {
    const std::size_t last = std::min(points.size(), (piece + 1) * kPointsPerPiece);
    for (std::size_t place = piece * kPointsPerPiece; place < last; ++place)
      list_neighbours(index, order[place], place, table);
  });
  return table;
}

std::vector<std::uint32_t> space_filling_order(std::span<const MetricPoint> points) {
  std::vector<std::uint32_t> order;
  if (points.empty()) return order;
  MetricPoint low = points[0];
  MetricPoint high = points[0];
  for (const MetricPoint& point : points) {
    low = {std::min(low.x_m, point.x_m), std::min(low.y_m, point.y_m)};
    high = {std::max(high.x_m, point.x_m), std::max(high.y_m, point.y_m)};
  }
  const double side = std::max({high.x_m - low.x_m, high.y_m - low.y_m, 1e-9});
  const auto cell = [&](double offset) {
    return static_cast<std::uint64_t>(offset / side * 65535);
  };
  std::vector<std::pair<std::uint64_t, std::uint32_t>> keys;
  keys.reserve(points.size());
  for (std::uint32_t i = 0; i < points.size(); ++i) {
    const std::uint64_t x = spread_bits(cell(points[i].x_m - low.x_m));
    const std::uint64_t y = spread_bits(cell(points[i].y_m - low.y_m));
    keys.emplace_back(x | (y << 1), i);
  }
  std::sort(keys.begin(), keys.end());
  order.reserve(points.size());
  for (const auto& [key, i] : keys) order.push_back(i);
  return order;
}

}  // namespace gaugeloom
