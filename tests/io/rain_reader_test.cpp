#include "gaugeloom/io/rain_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using std::chrono::hours;
using std::chrono::minutes;
using support::network_of;
using support::rain_of;

const Network kAB = network_of({"A", "B"});
const std::string kPlain =
    "time,gauge,depth_mm\n"
    "2024-02-29T23:00Z,A,0.2\n"
    "2024-02-29T23:00Z,B,\n"
    "2024-03-01T00:00Z,A,0\n"
    "2024-03-01T00:00Z,B,1.5\n"
    "2024-03-01T02:00Z,A,NA\n"
    "2024-03-01T02:00Z,B,12.75\n";
const std::string kPlainDepths = "A: 0.2 0 - -\nB: - 1.5 - 12.75\n";

TEST(RainReader, ReadsTheLongLayout) {
  const auto read = rain_of(kPlain, kAB);
  EXPECT_EQ(read.depths(kAB), kPlainDepths);
  EXPECT_EQ(format_utc(read.record.depths.axis().end(0)), "2024-02-29T23:00:00Z");
  EXPECT_EQ(read.record.depths.axis().step(), hours{1});
  EXPECT_EQ(read.record.quality.steps, 0U);
  EXPECT_TRUE(read.notices.empty());
}

TEST(RainReader, ReadsTheWideLayout) {
  const std::string wide =
      "time,B,A\n2024-02-29T23:00Z,,0.2\n2024-03-01T00:00Z,1.5,0\n2024-03-01T02:00Z,12.75,NA\n";
  EXPECT_EQ(rain_of(wide, kAB).depths(kAB), kPlainDepths);
}

TEST(RainReader, TakesColumnsInAnyOrderAndIgnoresOthers) {
  const std::string text =
      "note,depth_mm,time,gauge\n\"a, b\",0.2,2024-03-01T00:00Z,A\n,1.5,2024-03-01T01:00Z,B\n";
  EXPECT_EQ(rain_of(text, kAB).depths(kAB), "A: 0.2 -\nB: - 1.5\n");
}

TEST(RainReader, ReadsByteOrderMarkCarriageReturnsQuotesAndNoFinalNewline) {
  const std::string text =
      "\xEF\xBB\xBFtime,\"gauge\",depth_mm\r\n2024-03-01T00:00Z,\"A\",\"0.2\"\r\n\r\n"
      "\"2024-03-01T01:00Z\",B, 1.5 ";
  EXPECT_EQ(rain_of(text, kAB).depths(kAB), "A: 0.2 -\nB: - 1.5\n");
}

TEST(RainReader, ReadsQuotedIdsWithCommasAndQuotes) {
  const Network odd = network_of({"Low \"mill\"", "a,b"});
  const std::string text =
      "time,gauge,depth_mm\n2024-03-01T00:00Z,\"Low "
      "\"\"mill\"\"\",1\n2024-03-01T01:00Z,\"a,b\",2\n";
  EXPECT_EQ(rain_of(text, odd).depths(odd), "Low \"mill\": 1 -\na,b: - 2\n");
}

TEST(RainReader, ReadsGzipOfSeveralMembers) {
  const std::string packed = gzip_member(kPlain.substr(0, 50)) + gzip_member(kPlain.substr(50));
  EXPECT_EQ(rain_of(packed, kAB).depths(kAB), kPlainDepths);
}

TEST(RainReader, TurnsInchesIntoMillimetres) {
  const std::string text = "time,gauge,depth_in\n2024-03-01T00:00Z,A,0.01\n2024-03-01T01:00Z,A,1\n";
  EXPECT_EQ(rain_of(text, network_of({"A"}), {.unit = DepthUnit::inch}).depths(network_of({"A"})),
            "A: 0.254 25.4\n");
}

TEST(RainReader, TakesAbsentRowsAsZeroOnlyWhenAsked) {
  const std::string text =
      "time,gauge,depth_mm\n2024-03-01T00:00Z,A,1\n2024-03-01T00:10Z,A,\n2024-03-01T00:20Z,B,2\n";
  const Network three = network_of({"A", "B", "C"});
  const auto read = rain_of(text, three, {.absent = AbsentRow::zero, .step = minutes{5}});
  EXPECT_EQ(read.depths(three), "A: 1 0 - 0 0\nB: 0 0 0 0 2\nC: - - - - -\n");
  EXPECT_EQ(read.notices,
            Notices{"1 of 3 gauges in the list have no row in the rain files (first: C); they are "
                    "missing throughout"});
  EXPECT_EQ(rain_of(text, kAB, {.step = minutes{5}}).depths(kAB), "A: 1 - - - -\nB: - - - - 2\n");
}

TEST(RainReader, MarksTheEndOfTheStepWhateverTheLabel) {
  const auto read = rain_of(kPlain, kAB, {.label = StepLabel::start});
  EXPECT_EQ(format_utc(read.record.depths.axis().begin(0)), "2024-02-29T23:00:00Z");
  EXPECT_EQ(read.depths(kAB), kPlainDepths);
}

TEST(RainReader, ShiftsTimesByTheirOffsetOrTheGivenOne) {
  const std::string east =
      "time,gauge,depth_mm\n2024-03-01T08:00+08:00,A,1\n2024-03-01T09:00+08:00,A,2\n";
  EXPECT_EQ(format_utc(rain_of(east, kAB).record.depths.axis().end(0)), "2024-03-01T00:00:00Z");
  const std::string bare = "time,gauge,depth_mm\n2024-03-01 08:00,A,1\n2024-03-01 09:00,A,2\n";
  const auto given = rain_of(bare, kAB, {.utc_offset = minutes{480}});
  EXPECT_EQ(format_utc(given.record.depths.axis().end(0)), "2024-03-01T00:00:00Z");
  EXPECT_EQ(given.notices.size(), 1U);  // gauge B without a row
  EXPECT_EQ(rain_of(bare, kAB).notices.front(),
            "times without an offset were taken as UTC; give --utc-offset or --time-zone if they "
            "are not");
}

TEST(RainReader, FollowsTheClocksOfATimeZone) {
  const std::string text =  // Berlin, across the night the clocks went forward
      "time,gauge,depth_mm\n2024-03-31T01:00,A,1\n2024-03-31T03:00,A,2\n2024-03-31T04:00,A,3\n";
  const auto read = rain_of(text, kAB, {.time_zone = "Europe/Berlin"});
  EXPECT_EQ(format_utc(read.record.depths.axis().end(0)), "2024-03-31T00:00:00Z");
  EXPECT_EQ(read.depths(network_of({"A", "B"})), "A: 1 2 3\nB: - - -\n");
}

TEST(RainReader, KeepsAccumulatedTotalsApart) {
  const std::string text =
      "time,gauge,depth_mm,since\n2024-03-01T00:00Z,A,1,\n2024-03-01T03:00Z,A,7,2024-03-01T00:00Z\n"
      "2024-03-01T04:00Z,A,2,2024-03-01T03:00Z\n";
  const Network one = network_of({"A"});
  const auto read = rain_of(text, one, {.step = hours{1}});
  EXPECT_EQ(read.depths(one), "A: 1 - - - 2\n");
  ASSERT_EQ(read.record.totals.size(), 1U);
  EXPECT_EQ(read.record.totals[0].depth_mm, 7);
  EXPECT_EQ(format_utc(read.record.totals[0].over.from), "2024-03-01T00:00:00Z");
  EXPECT_EQ(format_utc(read.record.totals[0].over.to), "2024-03-01T03:00:00Z");
}

TEST(RainReader, LengthensTheAxisForATotalThatBeginsEarlier) {
  const std::string text =
      "time,gauge,depth_mm,since\n2024-03-01T03:00Z,A,7,2024-03-01T00:00Z\n2024-03-01T04:00Z,A,2,"
      "\n";
  EXPECT_EQ(rain_of(text, network_of({"A"})).depths(network_of({"A"})), "A: - - - 2\n");
}

TEST(RainReader, MapsQualities) {
  const std::string text =
      "time,gauge,depth_mm,quality\n2024-03-01T00:00Z,A,1,good\n2024-03-01T01:00Z,A,2,7\n"
      "2024-03-01T02:00Z,A,3,\n2024-03-01T03:00Z,A,4,missing\n2024-03-01T04:00Z,B,4,suspect\n";
  RainReadOptions options;
  options.quality_codes["7"] = Quality::poor;
  const auto read = rain_of(text, kAB, options);
  EXPECT_EQ(read.depths(kAB), "A: 1 2 3 - -\nB: - - - - 4\n");
  const auto& quality = read.record.quality;
  EXPECT_EQ(quality.at(0, 0), Quality::good);
  EXPECT_EQ(quality.at(0, 1), Quality::poor);
  EXPECT_EQ(quality.at(0, 2), Quality::unchecked);
  EXPECT_EQ(quality.at(0, 3), Quality::missing);
  EXPECT_EQ(quality.at(1, 0), Quality::missing);
  EXPECT_EQ(quality.at(1, 4), Quality::suspect);
}

TEST(RainReader, CountsRepeatedRowsAndUnknownGauges) {
  const std::string text =
      "time,gauge,depth_mm\n2024-03-01T00:00Z,A,0.2\n2024-03-01T00:00Z,A,0.20\n"
      "2024-03-01T00:00Z,X,1\n2024-03-01T01:00Z,B,1\n2024-03-01T01:00Z,W,1\n2024-03-01T02:00Z,X,"
      "1\n";
  EXPECT_EQ(rain_of(text, kAB).notices,
            (Notices{"1 repeated rows with the same value were taken once",
                     "3 rows of 2 gauges that are not in the gauge list were left out (first by "
                     "name: W)"}));
}

TEST(RainReader, ReadsExactDecimalsOfAnyLength) {
  const std::string text =
      "time,gauge,depth_mm\n2024-03-01T00:00Z,A,0.1000000000000000055511151231257827\n"
      "2024-03-01T01:00Z,A,1e-1\n2024-03-01T02:00Z,A,16777217\n2024-03-01T03:00Z,A,-0.0\n"
      "2024-03-01T04:00Z,A,.5\n2024-03-01T05:00Z,A,5.\n2024-03-01T06:00Z,A,1e-999\n";
  EXPECT_EQ(rain_of(text, network_of({"A"})).depths(network_of({"A"})),
            "A: 0.1 0.1 16777216 0 0.5 5 0\n");  // floats hold 24 bits
}

TEST(RainReader, JoinsFilesFoldersAndPatterns) {
  const support::TemporaryFolder folder;
  folder.write("b.csv", "time,gauge,depth_mm\n2024-03-01T00:00Z,B,2\n");
  folder.write("a.csv.gz", gzip_member("time,A\n2024-03-01T01:00Z,1\n"));
  folder.write("notes.txt", "not rain");
  const auto read = [&](std::vector<std::string> paths) {
    support::RainFromText result;
    result.record = read_rain(paths, kAB, {}, result.notices);
    return result.depths(kAB);
  };
  const std::string want = "A: - 1\nB: 2 -\n";
  EXPECT_EQ(read({folder.path()}), want);
  EXPECT_EQ(read({folder / "*.csv*"}), want);
  EXPECT_EQ(read({folder / "b.csv", folder.path(), folder / "a.csv.gz"}), want);
  EXPECT_EQ(rain_files(std::vector{folder / "b.csv", folder.path()}),
            (std::vector{folder / "b.csv", folder / "a.csv.gz"}));
}

TEST(RainReader, KnowsWhatTheOtherCounterGave) {
  const Network network = support::network_of({"A", "B"});
  for (const char* quote : {"", "\""}) {  // the fast way and the slow one
    const std::string word = std::string(quote) + "other_counter" + quote;
    const auto read = support::rain_of(
        "time,gauge,depth_mm,quality,origin\n"
        "2024-03-01T00:00Z,A,1,unchecked,measured\n"
        "2024-03-01T00:00Z,B,2,unchecked," +
            word +
            "\n"
            "2024-03-01T01:00Z,A,3,unchecked," +
            word +
            "\n"
            "2024-03-01T01:00Z,B,4,unchecked,\n",
        network);
    const auto& steps = read.record.other_counter;
    ASSERT_EQ(steps.size(), 2U);
    EXPECT_EQ(steps[0].gauge, 1U);
    EXPECT_EQ(steps[0].step, 0U);
    EXPECT_EQ(steps[1].gauge, 0U);
    EXPECT_EQ(steps[1].step, 1U);
  }
}

}  // namespace
}  // namespace gaugeloom
