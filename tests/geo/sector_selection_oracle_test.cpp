#include <gtest/gtest.h>

#include <map>

#include "gaugeloom/geo/sector_selection.hpp"
#include "support/nasty_networks.hpp"

namespace gaugeloom {
namespace {

// The plain way: everything in order of distance, counting by sector.
std::vector<Neighbour> plain(const GaugeIndex& index, const MetricPoint& target,
                             const SectorOptions& options) {
  std::map<int, std::size_t> held;
  std::vector<Neighbour> picked;
  const std::size_t among = options.among_nearest == 0 ? index.size() : options.among_nearest;
  for (const Neighbour& each : index.nearest(target, among)) {
    if (options.max_distance_m > 0 && each.distance_m > options.max_distance_m) continue;
    const int sector = sector_of(target, index.points()[each.index], options.sectors);
    if (held[sector]++ < options.per_sector) picked.push_back(each);
  }
  return picked;
}

TEST(SectorSelection, AgreesWithThePlainWay) {
  for (const auto& net : support::nasty_networks()) {
    SCOPED_TRACE(net.name);
    const GaugeIndex index(net.gauges);
    for (const MetricPoint& target : net.targets)
      for (const Sectors sectors : {Sectors::quadrants, Sectors::octants})
        for (const std::size_t per_sector : {1U, 2U, 400U})
          for (const std::size_t among : {0U, 10U})
            for (const double limit_m : {0.0, 12000.0}) {
              const SectorOptions options{sectors, per_sector, among, limit_m};
              EXPECT_EQ(nearest_per_sector(index, target, options), plain(index, target, options));
            }
  }
}

}  // namespace
}  // namespace gaugeloom
