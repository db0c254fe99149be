#include "gaugeloom/io/run_record.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include <nlohmann/json.hpp>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::read_file;
using support::TemporaryFolder;

std::string written(const RunRecord& record) {
  const TemporaryFolder folder;
  AtomicFile file(folder / "run.json");
  write_run_record(file, record);
  file.commit();
  return read_file(folder / "run.json");
}

TEST(RunRecordWriter, HashesTheBytesOfEveryInput) {
  const TemporaryFolder folder;
  const std::string input = folder.write("abc.txt", "abc");
  RunRecord record;
  record.command = "check";
  record.inputs = {input, "PG:dbname=rain password=secret user=me"};
  const std::string text = written(record);
  const auto json = nlohmann::json::parse(text);
  // Published: FIPS 180-4, the example of a one-block message, "abc".
  EXPECT_EQ(json["inputs"][0]["sha256"],
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(json["inputs"][0]["bytes"], 3);
  EXPECT_EQ(json["inputs"][1]["name"], "PG:dbname=rain password=*** user=me");
  EXPECT_EQ(text.find("secret"), std::string::npos);
}

TEST(RunRecordWriter, NestsWhatWasLearnedAndLeavesOutWhatIsNotANumber) {
  RunRecord record;
  record.learned_numbers["fill.range_km"] = 12.34567891;
  record.learned_numbers["fill.bias"] = std::nan("");
  record.learned_words["fill.method"] = "idw";
  record.learned_tables["checks.miss_rates"] = {{{"hours", 12}, {"probability", 0.25}}};
  record.configuration["rain"] = {"a.csv", "b.csv"};
  record.configuration["power"] = {"2"};
  const auto json = nlohmann::json::parse(written(record));
  EXPECT_EQ(json["learned"]["fill"]["range_km"], 12.3457);
  EXPECT_EQ(json["learned"]["fill"]["method"], "idw");
  EXPECT_FALSE(json["learned"]["fill"].contains("bias"));
  EXPECT_EQ(json["learned"]["checks"]["miss_rates"][0]["probability"], 0.25);
  EXPECT_EQ(json["configuration"]["rain"].size(), 2U);
  EXPECT_EQ(json["configuration"]["power"], "2");
  for (const char* library : {"GDAL", "GEOS", "PROJ", "libdeflate", "zlib"})
    EXPECT_TRUE(json["libraries"].contains(library)) << library;
}

TEST(RunRecordWriter, IsTheSameBytesTwice) {
  RunRecord record;
  record.command = "fill";
  record.learned_numbers["z.b"] = 2;
  record.learned_numbers["a"] = 1;
  EXPECT_EQ(written(record), written(record));
}

TEST(RunRecordWriter, LogsTheClock) {
  const TemporaryFolder folder;
  AtomicFile file(folder / "run_log.json");
  write_run_log(file, {1.23456, 2});
  file.commit();
  const auto json = nlohmann::json::parse(read_file(folder / "run_log.json"));
  EXPECT_EQ(json["seconds"], 1.235);
  EXPECT_EQ(json["threads"], 2);
  EXPECT_TRUE(json.contains("ended"));
}

}  // namespace
}  // namespace gaugeloom
