#pragma once
// The invented basin of the Vels, above the town of Velsarn: forty gauges, five catchments, five
// weeks of rain at ten minutes, and faults that are known because they were planted. Nothing in it
// exists; its coordinates lie in open sea. Made by seeded numbers alone, so anyone can make it
// again.

#include <string>
#include <vector>

#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "support/demo_tips.hpp"

namespace gaugeloom::support {

struct PlantedFault {
  std::size_t gauge = 0;
  std::string finding;  // the word findings.csv uses, or "missing"
  Interval window;
  double amount = 0;
  std::string unit;
  std::string note;
};

// Whole metres at cell centres, row by row from the north-west corner.
struct ElevationGrid {
  double west_m = 0;
  double north_m = 0;
  double cell_m = 1000;
  int columns = 0;
  int rows = 0;
  std::vector<float> elevation_m;
};

struct DemoBasin {
  Network network;                   // working CRS EPSG:3035
  RainTable rain;                    // with the faults, as if all gauges stored depths
  std::vector<DemoTip> tips;         // of the gauges that store tips, in place of their depths
  std::vector<double> water_mm;      // what fell into each funnel, gauge-major, without them
  std::vector<PlantedFault> faults;  // by gauge
  std::vector<Area> catchments;      // in EPSG:3035; they share their edges
  ElevationGrid elevation;
};

DemoBasin demo_basin();

// The files in data/velsarn, as text.
std::string gauges_csv(const DemoBasin& basin);
std::string rain_csv(const DemoBasin& basin);  // without the gauges that come as tips
std::string tips_csv(const DemoBasin& basin);
std::string catchments_geojson(const DemoBasin& basin);  // degrees, as RFC 7946 asks
std::string planted_faults_csv(const DemoBasin& basin);

}  // namespace gaugeloom::support
