#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::rain_of;

const Instant kFirst = parse_iso8601("2023-12-31T23:00Z")->utc();

Network gauges(std::size_t count) {
  std::vector<std::string> ids;
  for (std::size_t i = 0; i < count; ++i) ids.push_back("V" + std::to_string(i * 7 % count));
  return support::network_of(ids);
}

// Depths with three decimals, one in ten missing, most dry; every gauge has at least one.
RainTable random_table(std::string_view name, std::size_t gauge_count, std::size_t steps) {
  Random random(name);
  RainTable table(StepAxis(kFirst, std::chrono::minutes{5}, steps), gauge_count);
  for (std::size_t g = 0; g < gauge_count; ++g)
    for (std::size_t s = 0; s < steps; ++s) {
      if (s > 0 && random.chance(0.1)) continue;
      const double depth_mm = random.chance(0.8) ? 0 : random.exponential(3);
      table.set(g, s, static_cast<float>(std::floor(depth_mm * 1000) / 1000));
    }
  return table;
}

bool same_depths(const RainTable& a, const RainTable& b) {
  return a.axis() == b.axis() && a.gauge_count() == b.gauge_count() &&
         std::equal(a.values().begin(), a.values().end(), b.values().begin(),
                    [](float x, float y) { return x == y || (x != x && y != y); }) &&
         [&] {
           for (std::size_t g = 0; g < a.gauge_count(); ++g)
             if (!std::ranges::equal(a.measured_bits(g), b.measured_bits(g))) return false;
           return true;
         }();
}

std::string row_of(const RainTable& table, const Network& network, std::size_t g, std::size_t s) {
  CsvRows rows;
  rows.raw(format_utc(table.axis().end(s))).text(network.gauges[g].id);
  rows.fixed(static_cast<double>(table.depth_mm(g, s)), 3).end_row();
  return rows.bytes();
}

TEST(RainReader, ReadsBackWhatWasWritten) {
  const Network network = gauges(13);
  const RainTable table = random_table("ReadsBackWhatWasWritten", 13, 500);
  const support::TemporaryFolder folder;
  for (const bool wide : {false, true})
    for (const bool gzip : {false, true}) {
      AtomicFile file(folder / "rain.csv");
      write_rain(file, unchecked_record(table), network,
                 {.gzip = gzip, .wide = wide, .threads = 2});
      file.commit();
      Notices notices;
      const std::vector<std::string> paths{folder / "rain.csv"};
      EXPECT_TRUE(same_depths(read_rain(paths, network, {}, notices).depths, table));
      EXPECT_TRUE(notices.empty());
    }
}

TEST(RainReader, DoesNotMindTheOrderOfRowsAcrossFilesNorThreads) {
  const std::size_t count = 40;
  const std::size_t steps = 4000;  // several blocks of bytes
  const Network network = gauges(count);
  const RainTable table = random_table("DoesNotMindTheOrder", count, steps);
  std::string by_time = "time,gauge,depth_mm\n";
  for (std::size_t s = 0; s < steps; ++s)
    for (std::size_t g = 0; g < count; ++g) by_time += row_of(table, network, g, s);
  std::string by_gauge = "time,gauge,depth_mm\n";
  for (std::size_t g = count; g-- > 0;)
    for (std::size_t s = 0; s < steps; ++s) by_gauge += row_of(table, network, g, s);
  ASSERT_GT(by_time.size(), std::size_t{4} << 20);
  for (const int threads : {1, 3}) {
    SCOPED_TRACE(threads);
    EXPECT_TRUE(same_depths(rain_of(by_time, network, {.threads = threads}).record.depths, table));
    EXPECT_TRUE(same_depths(rain_of(by_gauge, network, {.threads = threads}).record.depths, table));
  }
  // Both in one: every row repeated.
  const support::TemporaryFolder folder;
  const std::vector<std::string> paths{folder.write("b.csv", by_gauge),
                                       folder.write("a.csv", by_time)};
  Notices notices;
  EXPECT_TRUE(same_depths(read_rain(paths, network, {}, notices).depths, table));
  EXPECT_EQ(notices, Notices{"160000 repeated rows with the same value were taken once"});
}

TEST(RainReader, FindsTheFirstErrorWithAnyNumberOfThreads) {
  const Network network = gauges(40);
  const RainTable table = random_table("FindsTheFirstError", 40, 4000);
  std::string text = "time,gauge,depth_mm\n";
  for (std::size_t s = 0; s < 4000; ++s)
    for (std::size_t g = 0; g < 40; ++g) {
      text += row_of(table, network, g, s);
      if (s * 40 + g == 100000) text += "2024-01-01T00:00Z,V1,1\n";  // goes back
      if (s * 40 + g == 100009) text += "rubbish\n";
    }
  const std::string one = support::rain_refusal(text, network, {.threads = 1});
  EXPECT_EQ(one.substr(0, 59), "rain.csv:100003:1: gauge V1 goes back in time, from 2024-01");
  for (const int threads : {2, 3})
    for (int repeat = 0; repeat < 3; ++repeat)
      EXPECT_EQ(support::rain_refusal(text, network, {.threads = threads}), one);
}

TEST(RainReader, ReadsEveryColumnOrderAlike) {
  const Network network = gauges(5);
  const RainTable table = random_table("ReadsEveryColumnOrderAlike", 5, 50);
  std::vector<std::string> names{"time", "gauge", "depth_mm", "note"};
  std::vector<std::size_t> order(names.size());
  std::iota(order.begin(), order.end(), 0U);
  do {
    CsvRows rows;
    for (const std::size_t c : order) rows.text(names[c]);
    rows.end_row();
    for (std::size_t s = 0; s < 50; ++s)
      for (std::size_t g = 0; g < 5; ++g) {
        for (const std::size_t c : order) {
          if (c == 0) rows.raw(format_utc(table.axis().end(s)));
          if (c == 1) rows.text(network.gauges[g].id);
          if (c == 2) rows.fixed(static_cast<double>(table.depth_mm(g, s)), 3);
          if (c == 3) rows.text(g == 2 ? "a \"note\", quoted" : "plain");
        }
        rows.end_row();
      }
    ASSERT_TRUE(same_depths(rain_of(rows.bytes(), network).record.depths, table));
  } while (std::next_permutation(order.begin(), order.end()));
}

}  // namespace
}  // namespace gaugeloom
