// A map of 3 000 x 3 000 cells from 1 951 gauges, the usual neighbours: kernels at every vector
// level, whole files by codec level, and the plain method per cell beside them. Ordinary kriging:
// nugget 0.1 + 0.9 spherical 60 km.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <filesystem>
#include <string>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/core/vector_level.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "gaugeloom/io/geotiff_writer.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "support/random_network.hpp"

namespace {

using namespace gaugeloom;

constexpr std::size_t kSide = 3000;
constexpr std::size_t kBlock = 512;
const Variogram kModel{VariogramShape::spherical, 0.1, 0.9, 60000, 0.5};

struct Input {
  std::vector<MetricPoint> gauges = support::random_network("surface_bench", 1951, 0).gauges;
  std::vector<double> values;
  Grid grid;
  Input() {
    Random random("surface_bench");
    for (std::size_t i = 0; i < gauges.size(); ++i)
      values.push_back(random.chance(0.7) ? 0.0 : random.exponential(2));
    const double side_m = 10000 * 44.17;
    grid = grid_over({0, 0, side_m, side_m}, side_m / kSide);
  }
};

const Input& input() {
  static const Input made;
  return made;
}

SurfaceOptions options_of(int mode) {
  SurfaceOptions options;
  options.variogram = kModel;
  options.neighbours = usual_surface_neighbours(input().gauges.size());
  if (mode == 0) options.method = InterpolationMethod::inverse_distance;
  options.negative_weights = mode == 1 ? NegativeWeights::keep : NegativeWeights::drop;
  return options;
}

const char* words_of(int mode) {
  return mode == 0 ? "idw" : mode == 1 ? "ok, weights kept" : "ok, negative dropped";
}

void surface(benchmark::State& state) {
  const auto level = static_cast<VectorLevel>(state.range(0));
  const int mode = static_cast<int>(state.range(1));
  if (static_cast<std::size_t>(state.range(0)) >= supported_vector_levels().size())
    return state.SkipWithError("no such vector unit");
  SurfaceOptions options = options_of(mode);
  options.level = level;
  const Grid& grid = input().grid;
  const Surface made(input().gauges, input().values, {}, options);
  const std::size_t across = (kSide + kBlock - 1) / kBlock;
  for (auto _ : state)
    parallel_for(across * across, 0, [&](std::size_t i) {
      GridBlock block{i % across * kBlock, i / across * kBlock, 0, 0};
      block.columns = std::min(kBlock, kSide - block.first_column);
      block.rows = std::min(kBlock, kSide - block.first_row);
      std::vector<double> value(block.cell_count()), variance(mode == 0 ? 0 : value.size());
      made.compute(grid, block, {value, variance, {}});
      benchmark::DoNotOptimize(value.data());
    });
  state.SetLabel(std::string(words_of(mode)) + ", " + std::string(word(level)));
  state.counters["ns_per_cell"] =
      benchmark::Counter(kSide * kSide * 1e-9, benchmark::Counter::kIsIterationInvariantRate |
                                                   benchmark::Counter::kInvert);
}
BENCHMARK(surface)
    ->ArgsProduct({{0, 1, 2}, {0, 1, 2}})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

// The plain method over every 9973rd cell.
void plain(benchmark::State& state) {
  const int mode = static_cast<int>(state.range(0));
  std::vector<MetricPoint> targets;
  for (std::size_t i = 0; i < kSide * kSide; i += 9973)
    targets.push_back(input().grid.centre(i % kSide, i / kSide));
  for (auto _ : state) {
    if (mode == 0)
      benchmark::DoNotOptimize(inverse_distance(input().gauges, input().values, targets));
    else
      benchmark::DoNotOptimize(ordinary_kriging(input().gauges, input().values, {}, targets, kModel,
                                                {12, options_of(mode).negative_weights}));
  }
  state.SetLabel(words_of(mode));
  state.counters["ns_per_cell"] = benchmark::Counter(
      static_cast<double>(targets.size()) * 1e-9,
      benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(plain)->DenseRange(0, 2)->UseRealTime()->Unit(benchmark::kMillisecond);

// Total and error (idw: total alone) as a cloud-optimised GeoTIFF, by compression level.
void whole_map(benchmark::State& state) {
  RainMapOptions options;
  options.surface = options_of(static_cast<int>(state.range(0)));
  const RainMap map(input().gauges, input().values, {}, options);
  std::vector<MapBand> bands = {MapBand::total};
  std::vector<GeoTiffBand> described = {{"total", "mm", OverviewRule::average}};
  if (state.range(0) != 0) {
    bands.push_back(MapBand::error);
    described.push_back({"error", "mm", OverviewRule::average});
  }
  const auto path = std::filesystem::temp_directory_path() / "gaugeloom_surface_bench.tif";
  GeoTiffOptions write;
  write.crs = "local";
  write.compression_level = static_cast<int>(state.range(1));
  for (auto _ : state)
    write_geotiff(path.string(), input().grid, described, write,
                  [&](const GridBlock& block, std::span<float> out) {
                    map.fill(input().grid, block, bands, out);
                  });
  state.SetLabel(words_of(static_cast<int>(state.range(0))));
  state.counters["megabytes"] = static_cast<double>(std::filesystem::file_size(path)) / 1e6;
  std::filesystem::remove(path);
}
BENCHMARK(whole_map)
    ->ArgsProduct({{0, 1, 2}, {1, 3, 6}})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace
