#include <gtest/gtest.h>

#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/geo/thiessen.hpp"
#include "support/nasty_networks.hpp"

namespace gaugeloom {
namespace {

// A boot with a hole and an island, reaching well beyond the gauges.
Polygon odd_area() {
  const Ring boot = {{-20e3, -20e3}, {70e3, -10e3}, {60e3, 20e3},
                     {25e3, 15e3},   {30e3, 60e3},  {-10e3, 50e3}};
  const Ring hole = {{0, 0}, {8e3, 1e3}, {5e3, 9e3}};
  const Ring island = {{50e3, 40e3}, {60e3, 40e3}, {55e3, 55e3}};
  return {{{boot, {hole}}, {island, {}}}};
}

TEST(Thiessen, CoversTheAreaOnce) {
  for (const auto& net : support::nasty_networks()) {
    if (net.gauges.empty()) continue;
    SCOPED_TRACE(net.name);
    const auto cells = thiessen_cells(net.gauges, odd_area());
    double weights = 0, areas = 0;
    for (const ThiessenCell& cell : cells) {
      weights += cell.weight;
      areas += cell.area_m2;
    }
    EXPECT_NEAR(weights, 1, 1e-12);
    EXPECT_NEAR(areas / area_m2(odd_area()), 1, 1e-9);
  }
}

TEST(Thiessen, PutsEachPlaceInTheCellOfItsNearestGauge) {
  for (const auto& net : support::nasty_networks()) {
    if (net.gauges.empty()) continue;
    SCOPED_TRACE(net.name);
    const auto cells = thiessen_cells(net.gauges, odd_area());
    const GaugeIndex index(net.gauges);
    for (const MetricPoint& place : about_grid_points(odd_area(), 150)) {
      const auto nearest = index.nearest(place, net.gauges.size());
      // Left out where a second spot is as near to the millimetre: the place lies on the edge.
      const auto next = std::find_if(nearest.begin(), nearest.end(), [&](const Neighbour& each) {
        return !(net.gauges[each.index] == net.gauges[nearest[0].index]);
      });
      if (next != nearest.end() && next->distance_m - nearest[0].distance_m < 1e-3) continue;
      EXPECT_TRUE(contains(cells[nearest[0].index].polygon, place))
          << place.x_m << ' ' << place.y_m;
    }
  }
}

}  // namespace
}  // namespace gaugeloom
