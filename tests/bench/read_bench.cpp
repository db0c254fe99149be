// Reading and writing rain tables. GAUGELOOM_BENCH_RAIN and GAUGELOOM_BENCH_GAUGES may name a long
// CSV and its gauge list (first column = id) from outside; else a table is made here.

#include <benchmark/benchmark.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

struct Input {
  std::string rain;
  Network network;
};

void add_gauge(Network& network, const std::string& id) {
  network.gauges.emplace_back();
  network.gauges.back().id = id;
}

SeriesRecord made_record(std::size_t gauges, std::size_t steps) {
  Random random("read_bench");
  RainTable table(StepAxis(parse_iso8601("2024-01-01T00:00Z")->utc(), std::chrono::hours{1}, steps),
                  gauges);
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < steps; ++s)
      if (!random.chance(0.03))
        table.set(g, s, random.chance(0.8) ? 0.0F : static_cast<float>(random.exponential(2)));
  return unchecked_record(std::move(table));
}

Network made_network(std::size_t gauges) {
  Network network;
  for (std::size_t g = 0; g < gauges; ++g) add_gauge(network, "V" + std::to_string(100000 + g));
  return network;
}

Input given_or_made() {
  Input input;
  const char* rain = std::getenv("GAUGELOOM_BENCH_RAIN");
  const char* gauges = std::getenv("GAUGELOOM_BENCH_GAUGES");
  if (rain != nullptr && gauges != nullptr) {
    input.rain = rain;
    std::ifstream list(gauges);
    std::string line;
    std::getline(list, line);
    while (std::getline(list, line)) add_gauge(input.network, line.substr(0, line.find(',')));
    return input;
  }
  input.rain = (std::filesystem::temp_directory_path() / "gaugeloom_read_bench.csv").string();
  input.network = made_network(2000);
  AtomicFile file(input.rain);
  write_rain(file, made_record(2000, 500), input.network);
  file.commit();
  return input;
}

void BM_ReadLongCsv(benchmark::State& state) {
  static const Input input = given_or_made();
  RainReadOptions options;
  options.threads = static_cast<int>(state.range(0));
  const std::vector<std::string> paths{input.rain};
  std::size_t cells = 0;
  for (auto _ : state) {
    Notices notices;
    const RainRecord record = read_rain(paths, input.network, options, notices);
    cells = record.depths.values().size();
    benchmark::DoNotOptimize(cells);
  }
  const auto rounds = static_cast<std::int64_t>(state.iterations());
  state.SetItemsProcessed(rounds * static_cast<std::int64_t>(cells));
  state.SetBytesProcessed(rounds *
                          static_cast<std::int64_t>(std::filesystem::file_size(input.rain)));
}
BENCHMARK(BM_ReadLongCsv)->Arg(1)->Arg(0)->UseRealTime()->Unit(benchmark::kMillisecond);

void BM_WriteLongCsv(benchmark::State& state) {
  static const SeriesRecord record = made_record(2000, 500);
  static const Network network = made_network(2000);
  const auto path = std::filesystem::temp_directory_path() / "gaugeloom_write_bench.csv";
  for (auto _ : state) {
    AtomicFile file(path.string());  // not committed, so nothing stays
    write_rain(file, record, network, {.gzip = state.range(0) != 0});
  }
  state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations()) * 2000 * 500);
}
BENCHMARK(BM_WriteLongCsv)->Arg(0)->Arg(1)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
