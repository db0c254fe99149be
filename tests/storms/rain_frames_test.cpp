#include "gaugeloom/storms/rain_frames.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

struct Case {
  std::vector<MetricPoint> gauges = support::random_network("RainFrames", 40).gauges;
  std::vector<std::vector<double>> fields_mm;
  std::vector<double> error_mm = std::vector<double>(40, 0.3);
  RainMapOptions options;
  Grid grid = grid_over({0, 0, 80000, 80000}, 4000);
  GridBlock block{0, 0, 20, 20};

  Case() {
    Random random("RainFrames");
    fields_mm.emplace_back(40, 0.0);
    for (int frame = 1; frame < 5; ++frame) {
      fields_mm.push_back(fields_mm.back());
      for (double& depth : fields_mm.back()) depth += std::max(0.0, random.exponential(4) - 3);
    }
    options.surface.variogram = {VariogramShape::exponential, 1, 20, 15000};
  }
  void add_heights() {
    const auto height = [](const MetricPoint& place) { return place.x_m / 100; };
    options.elevation = MapElevation{{1e-3, 400}, {}, {}};
    for (const MetricPoint& gauge : gauges) options.elevation->gauges_m.push_back(height(gauge));
    options.elevation->sample = [height](std::span<const MetricPoint> places,
                                         std::span<double> heights) {
      for (std::size_t i = 0; i < places.size(); ++i) heights[i] = height(places[i]);
    };
  }
  void check() const {
    const RainMap map(gauges, fields_mm.back(), error_mm, options);
    const std::size_t n = block.cell_count();
    std::vector<float> frames(5 * n), total(n);
    RainFrames(map, fields_mm).fill(grid, block, frames);
    map.fill(grid, block, std::vector{MapBand::total}, total);
    std::size_t valid = 0;
    for (std::size_t i = 0; i < n; ++i) {
      if (std::isnan(total[i])) {
        for (std::size_t f = 0; f < 5; ++f) ASSERT_TRUE(std::isnan(frames[f * n + i]));
        continue;
      }
      ++valid;
      ASSERT_EQ(frames[4 * n + i], total[i]);
      ASSERT_EQ(frames[i], 0);
      for (std::size_t f = 1; f < 5; ++f) ASSERT_GE(frames[f * n + i], frames[(f - 1) * n + i]);
    }
    EXPECT_GT(valid, 100U);
    EXPECT_LT(valid, n);
  }
};

TEST(RainFrames, GrowToTheTotalOfTheMap) { Case().check(); }

TEST(RainFrames, DoSoOnHills) {
  Case on_hills;
  on_hills.add_heights();
  on_hills.check();
}

}  // namespace
}  // namespace gaugeloom
