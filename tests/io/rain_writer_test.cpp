#include "gaugeloom/io/rain_writer.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::network_of;
using support::read_file;
using support::TemporaryFolder;

const Network kTwo = network_of({"A", "b, low"});

// Two gauges, two hours: measured, filled, missing, replaced.
SeriesRecord small_record() {
  RainTable observed(StepAxis(parse_iso8601("2024-03-01T00:00Z")->utc(), std::chrono::hours{1}, 2),
                     2);
  observed.set(0, 0, 0.2F);
  observed.set(1, 1, 30);
  SeriesRecord record = unchecked_record(std::move(observed), Quality::good);
  make_room_for_bounds(record);
  const auto fill = [&](std::size_t gauge, std::size_t step, float depth_mm) {
    const std::size_t i = record.index(gauge, step);
    record.depth.set(gauge, step, depth_mm);
    record.quality.at(gauge, step) = Quality::estimate;
    record.origin[i] = Origin::neighbours;
    record.low_mm[i] = 0;
    record.high_mm[i] = depth_mm * 2;
    record.standard_error_mm[i] = 0.125F;
  };
  fill(0, 1, 1.5F);
  fill(1, 1, 2);
  return record;
}

std::string written(const RainWriteOptions& options) {
  const TemporaryFolder folder;
  AtomicFile file(folder / "rain.csv");
  write_rain(file, small_record(), kTwo, options);
  file.commit();
  return read_file(folder / "rain.csv");
}

TEST(RainWriter, WritesTheLongTable) {
  EXPECT_EQ(written({}),
            "time,gauge,depth_mm,quality,origin,observed_mm,low_mm,high_mm,standard_error_mm\n"
            "2024-03-01T00:00:00Z,A,0.200,good,measured,0.200,,,\n"
            "2024-03-01T00:00:00Z,\"b, low\",,missing,none,,,,\n"
            "2024-03-01T01:00:00Z,A,1.500,estimate,neighbours,,0.000,3.000,0.125\n"
            "2024-03-01T01:00:00Z,\"b, low\",2.000,estimate,neighbours,30.000,0.000,4.000,0.125\n");
}

TEST(RainWriter, WritesWhatWasRefusedAsTheGaugeSaidIt) {
  SeriesRecord record = small_record();
  record.refused = {{0, 1, 4.5F}, {1, 0, 0.2F}};
  const TemporaryFolder folder;
  AtomicFile file(folder / "rain.csv");
  write_rain(file, record, kTwo);
  file.commit();
  EXPECT_EQ(read_file(folder / "rain.csv"),
            "time,gauge,depth_mm,quality,origin,observed_mm,low_mm,high_mm,standard_error_mm\n"
            "2024-03-01T00:00:00Z,A,0.200,good,measured,0.200,,,\n"
            "2024-03-01T00:00:00Z,\"b, low\",,missing,none,0.200,,,\n"
            "2024-03-01T01:00:00Z,A,1.500,estimate,neighbours,4.500,0.000,3.000,0.125\n"
            "2024-03-01T01:00:00Z,\"b, low\",2.000,estimate,neighbours,30.000,0.000,4.000,0.125\n");
}

TEST(RainWriter, WritesTheWideTable) {
  EXPECT_EQ(written({.wide = true}),
            "time,A,\"b, low\"\n2024-03-01T00:00:00Z,0.200,\n2024-03-01T01:00:00Z,1.500,2.000\n");
}

TEST(RainWriter, ReadsBackLongWideAndPacked) {
  for (const RainWriteOptions& options :
       {RainWriteOptions{}, RainWriteOptions{.wide = true}, RainWriteOptions{.gzip = true}}) {
    const auto read = support::rain_of(written(options), kTwo);
    EXPECT_EQ(read.depths(kTwo), "A: 0.2 1.5\nb, low: - 2\n");
    if (options.wide) continue;
    EXPECT_EQ(read.record.quality.at(0, 1), Quality::estimate);
    EXPECT_EQ(read.record.quality.at(1, 0), Quality::missing);
  }
}

TEST(RainWriter, LeavesNoFileWhenTheDiskIsFull) {
  const TemporaryFolder folder;
  try {
    AtomicFile file(folder / "rain.csv", {.fail_at_call = 2});
    write_rain(file, small_record(), kTwo);
    FAIL() << "nothing was thrown";
  } catch (const Error& error) {
    EXPECT_EQ(std::string(error.what()),
              (folder / "rain.csv") +
                  ": cannot be written (No space left on device); free the disk or choose another "
                  "--out");
  }
  EXPECT_TRUE(folder.names().empty());
}

}  // namespace
}  // namespace gaugeloom
