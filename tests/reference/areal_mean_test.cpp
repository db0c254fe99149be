// Means over an area in the handbooks.
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "gaugeloom/geo/thiessen.hpp"

namespace gaugeloom {
namespace {

struct PentagonGauge {
  MetricPoint position;
  double rain_mm = 0;
  double area_km2 = 0;
  double weight = 0;
};

std::vector<PentagonGauge> pentagon_gauges() {
  std::ifstream file(std::string(GAUGELOOM_TEST_DATA) + "/reference/data/chow344_thiessen.csv");
  std::vector<PentagonGauge> gauges;
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream row(line);
    int number = 0;
    PentagonGauge one;
    row >> number >> one.position.x_m >> one.position.y_m >> one.rain_mm >> one.area_km2 >>
        one.weight;
    one.position.x_m *= 1000;  // km in the file
    one.position.y_m *= 1000;
    gauges.push_back(one);
  }
  return gauges;
}

// Chow, Maidment and Mays, Applied Hydrology, McGraw-Hill 1988, problem 3.4.4 (number from memory):
// inputs published, areas and mean computed by an independent geometry program.
TEST(ArealMeanReference, ThiessenPentagonWithNineGauges) {
  const Polygon basin{{{{{5e3, 5e3}, {-5e3, 5e3}, {-5e3, -5e3}, {0, -10e3}, {5e3, -5e3}}, {}}}};
  EXPECT_DOUBLE_EQ(area_m2(basin), 125e6);  // published
  const auto gauges = pentagon_gauges();
  ASSERT_EQ(gauges.size(), 9U);
  std::vector<MetricPoint> positions;
  for (const PentagonGauge& gauge : gauges) positions.push_back(gauge.position);
  const auto cells = thiessen_cells(positions, basin);
  double mean_mm = 0;
  for (std::size_t i = 0; i < gauges.size(); ++i) {
    EXPECT_NEAR(cells[i].area_m2 * 1e-6, gauges[i].area_km2, 1e-7) << i;  // digits of the file
    EXPECT_NEAR(cells[i].weight, gauges[i].weight, 1e-9) << i;
    mean_mm += cells[i].weight * gauges[i].rain_mm;
  }
  EXPECT_NEAR(mean_mm, 69.83642704, 1e-7);
}

}  // namespace
}  // namespace gaugeloom
