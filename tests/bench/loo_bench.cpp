// Leave-one-out over whole records: nanoseconds per value, at every vector level, beside the plain
// method. Ordinary kriging: nugget 0.1 + 0.9 spherical 60 km, 16 nearest; 3 % of values missing,
// half of them one by one, half in outages of some 48 steps.

#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>
#include <string>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/core/vector_level.hpp"
#include "gaugeloom/interp/neighbour_weights.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "support/random_network.hpp"

namespace {

using namespace gaugeloom;

constexpr std::size_t kSteps = 1000;
constexpr std::size_t kBlockSteps = 512;
const Variogram kModel{VariogramShape::spherical, 0.1, 0.9, 60000, 0.5};

struct Input {
  std::vector<MetricPoint> points;
  std::vector<float> values;
  FieldRecord record() const { return {values, points.size(), kSteps}; }
};

const Input& input(std::size_t gauges) {
  static std::map<std::size_t, Input> made;
  Input& data = made[gauges];
  if (!data.points.empty()) return data;
  data.points = support::random_network("loo_bench", static_cast<int>(gauges), 0).gauges;
  Random random("loo_bench");
  for (std::size_t g = 0; g < gauges; ++g) {
    double outage = 0;
    for (std::size_t t = 0; t < kSteps; ++t) {
      if (outage <= 0 && random.chance(0.015 / 48)) outage = random.exponential(48);
      const bool gone = outage > 0 || random.chance(0.015);
      outage -= 1;
      const double depth = random.chance(0.7) ? 0 : std::round(random.exponential(25)) / 10;
      data.values.push_back(gone ? std::numeric_limits<float>::quiet_NaN()
                                 : static_cast<float>(depth));
    }
  }
  return data;
}

RecordLeaveOneOutOptions options(InterpolationMethod method) {
  RecordLeaveOneOutOptions made;
  made.method = method;
  return made;
}

void set_level(benchmark::State& state, std::int64_t level) {
  const auto& levels = supported_vector_levels();
  const auto index = static_cast<std::size_t>(level);
  if (index >= levels.size()) return state.SkipWithError("this processor lacks the level");
  const std::string name(word(levels[index]));
  setenv("GAUGELOOM_VECTOR_LEVEL", name.c_str(), 1);
  state.SetLabel(name);
}

void per_value(benchmark::State& state, std::size_t values) {
  state.counters["ns_per_value"] = benchmark::Counter(
      static_cast<double>(values) * 1e-9,
      benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void run_blocks(RecordLeaveOneOut& engine, const Input& data, LeaveOneOutBlock& block) {
  for (std::size_t first = 0; first < kSteps; first += kBlockSteps) {
    engine.run(data.record(), {}, first, std::min(kBlockSteps, kSteps - first), block);
    benchmark::DoNotOptimize(block.estimate.data());
  }
}

// Search for neighbours, all solves, all estimates: nothing is known before.
void whole_record(benchmark::State& state, InterpolationMethod method) {
  const Input& data = input(static_cast<std::size_t>(state.range(0)));
  set_level(state, state.range(1));
  LeaveOneOutBlock block;
  for (auto _ : state) {
    RecordLeaveOneOut engine(data.points, kModel, options(method));
    run_blocks(engine, data, block);
  }
  per_value(state, data.values.size());
}
BENCHMARK_CAPTURE(whole_record, kriging, InterpolationMethod::ordinary_kriging)
    ->ArgsProduct({{2000, 20000}, {0, 1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK_CAPTURE(whole_record, inverse_distance, InterpolationMethod::inverse_distance)
    ->ArgsProduct({{2000, 20000}, {0, 1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

// Neighbours and first systems are known.
void kernel(benchmark::State& state, InterpolationMethod method) {
  const Input& data = input(static_cast<std::size_t>(state.range(0)));
  set_level(state, state.range(1));
  LeaveOneOutBlock block;
  RecordLeaveOneOut engine(data.points, kModel, options(method));
  run_blocks(engine, data, block);
  for (auto _ : state) run_blocks(engine, data, block);
  per_value(state, data.values.size());
}
BENCHMARK_CAPTURE(kernel, kriging, InterpolationMethod::ordinary_kriging)
    ->ArgsProduct({{2000, 20000}, {0, 1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

// One more step of 20 000 gauges, weights kept.
void appended_step(benchmark::State& state) {
  const Input& data = input(20000);
  set_level(state, state.range(0));
  LeaveOneOutBlock block;
  RecordLeaveOneOut engine(data.points, kModel, {});
  std::vector<float> values(data.points.size());
  std::size_t step = 0;
  for (auto _ : state) {
    state.PauseTiming();
    for (std::size_t g = 0; g < values.size(); ++g) values[g] = data.values[g * kSteps + step];
    step = (step + 1) % kSteps;
    if (step == 1) engine.run({values, values.size(), 1}, {}, 0, 1, block);
    state.ResumeTiming();
    engine.run({values, values.size(), 1}, {}, 0, 1, block);
    benchmark::DoNotOptimize(block.estimate.data());
  }
  per_value(state, values.size());
}
BENCHMARK(appended_step)->DenseRange(0, 2)->Unit(benchmark::kMillisecond)->UseRealTime();

// The plain method on a subset: a search, a solve and an estimate for each single value.
void plain(benchmark::State& state) {
  const Input& data = input(2000);
  std::size_t gauge = 0;
  std::vector<std::uint64_t> available(data.points.size() / 64 + 1);
  for (std::size_t g = 0; g < data.points.size(); ++g)
    if (!std::isnan(data.values[g * kSteps])) available[g / 64] |= std::uint64_t{1} << (g % 64);
  for (auto _ : state) {
    const WeightSet set =
        neighbour_weights(data.points, data.points[gauge], gauge, available, kModel, {});
    double sum = 0;
    for (std::size_t i = 0; i < set.weights.size(); ++i)
      sum += set.weights[i] * static_cast<double>(data.values[set.neighbours[i] * kSteps]);
    benchmark::DoNotOptimize(sum);
    gauge = (gauge + 1) % data.points.size();
  }
  per_value(state, 1);
}
BENCHMARK(plain);

}  // namespace
