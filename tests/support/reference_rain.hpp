#pragma once
// Real networks for reference tests, read by a plain parser of their own.

#include <string>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom::support {

struct ReferenceRain {
  Network network;  // positions: equirectangular metres around the mean, good to 0.1 % here
  RainTable table;
};

// Reads gauges.csv (gauge,name,lon,lat,...) and rain.csv.gz (wide, regular) from
// tests/reference/data/<set>. `step` is the step of the file.
ReferenceRain reference_rain(const std::string& set, std::chrono::seconds step);

}  // namespace gaugeloom::support
