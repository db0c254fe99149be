#include "gaugeloom/geo/sector_selection.hpp"

#include <algorithm>
#include <array>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {

int sector_of(const MetricPoint& centre, const MetricPoint& point, Sectors sectors) {
  double dx = point.x_m - centre.x_m;
  double dy = point.y_m - centre.y_m;
  if (dx == 0 && dy == 0) return 0;
  int quarter_turns = 0;
  while (!(dx > 0 && dy >= 0)) {  // turn clockwise into the first quadrant
    const double turned = -dx;
    dx = dy;
    dy = turned;
    ++quarter_turns;
  }
  if (sectors == Sectors::quadrants) return quarter_turns;
  return 2 * quarter_turns + (dy >= dx ? 1 : 0);
}

std::optional<std::string> SectorOptions::problem() const {
  if (sectors != Sectors::quadrants && sectors != Sectors::octants)
    return "sectors must be 4 (quadrants) or 8 (octants)";
  if (per_sector < 1) return "the gauges per sector must be 1 or more";
  if (!(max_distance_m >= 0)) return "the largest distance must be 0 (no limit) or more metres";
  return std::nullopt;
}

namespace {

struct Picked {
  std::vector<Neighbour> neighbours;
  bool full = false;  // every sector holds per_sector
};

Picked pick(const GaugeIndex& index, const MetricPoint& target, const SectorOptions& options,
            std::span<const Neighbour> candidates) {
  std::array<std::size_t, 8> count{};
  Picked picked;
  for (const Neighbour& candidate : candidates) {
    if (options.max_distance_m > 0 && candidate.distance_m > options.max_distance_m) {
      picked.full = true;  // nothing farther will do
      break;
    }
    const int sector = sector_of(target, index.points()[candidate.index], options.sectors);
    auto& held = count[static_cast<std::size_t>(sector)];
    if (held == options.per_sector) continue;
    ++held;
    picked.neighbours.push_back(candidate);
  }
  const auto sectors = static_cast<std::size_t>(options.sectors);
  if (picked.neighbours.size() == sectors * options.per_sector) picked.full = true;
  return picked;
}

}  // namespace

std::vector<Neighbour> nearest_per_sector(const GaugeIndex& index, const MetricPoint& target,
                                          const SectorOptions& options,
                                          std::span<const std::uint64_t> available) {
  if (const auto broken = options.problem()) throw Error(ErrorCode::invalid_option, *broken);
  const std::size_t limit =
      options.among_nearest == 0 ? index.size() : std::min(options.among_nearest, index.size());
  const auto sectors = static_cast<std::size_t>(options.sectors);
  std::size_t asked = std::min(limit, 2 * sectors * std::min(options.per_sector, limit));
  while (true) {
    const auto candidates = index.nearest_available(target, asked, available);
    Picked picked = pick(index, target, options, candidates);
    if (picked.full || asked >= limit || candidates.size() < asked) return picked.neighbours;
    asked = std::min(limit, 2 * asked);
  }
}

int sectors_used(const GaugeIndex& index, const MetricPoint& target,
                 std::span<const Neighbour> neighbours, Sectors sectors) {
  std::array<bool, 8> used{};
  for (const Neighbour& neighbour : neighbours)
    used[static_cast<std::size_t>(sector_of(target, index.points()[neighbour.index], sectors))] =
        true;
  return static_cast<int>(std::count(used.begin(), used.end(), true));
}

}  // namespace gaugeloom
