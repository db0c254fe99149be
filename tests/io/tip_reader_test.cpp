#include "gaugeloom/io/tip_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

const Network kAB = support::network_of({"A", "B, \"low\""});

// "A/: 10:00:00.250 ..." by gauge and counter.
std::string said(const TipRecord& record) {
  std::string text;
  for (std::size_t g = 0; g < record.gauges.size(); ++g) {
    for (const TipTrain& train : record.gauges[g].trains) {
      text += kAB.gauges[g].id.substr(0, 1) + "/" + record.counters[train.counter] + ":";
      for (const Instant t : train.times) text += " " + format_utc(t).substr(11);
      text += "\n";
    }
  }
  return text;
}

TipRecord read(std::string_view text, const TipReadOptions& options = {}) {
  Notices notices;
  return parse_tips(text, "tips.csv", kAB, options, notices);
}

std::string refusal(std::string_view text, const TipReadOptions& options = {}) {
  return support::refusal_of("tips.csv", [&] { read(text, options); });
}

TEST(TipReader, KeepsTheOrderOfTheRows) {
  EXPECT_EQ(said(read("time,gauge\n2024-03-01T10:00:05.25Z,A\n2024-03-01T10:00:01Z,A\n"
                      "2024-03-01T10:00:03Z,\"B, \"\"low\"\"\"\n")),
            "A/: 10:00:05.250000Z 10:00:01Z\nB/: 10:00:03Z\n");
}

TEST(TipReader, PartsTheCountersAndNamesThemInOrder) {
  EXPECT_EQ(said(read("time,gauge,counter\n2024-03-01T10:00:05Z,A,right\n"
                      "2024-03-01T10:00:06Z,A,left\n2024-03-01T10:00:07Z,A,right\n")),
            "A/left: 10:00:06Z\nA/right: 10:00:05Z 10:00:07Z\n");
}

TEST(TipReader, ReadsColumnsInAnyOrderAndPassesOverOthers) {
  const std::string plain = said(read("time,gauge,counter\n2024-03-01T10:00:05.125Z,A,1\n"));
  EXPECT_EQ(said(read("counter,note,gauge,time\n1,x,A,2024-03-01T11:00:05.125+01:00\n")), plain);
  EXPECT_EQ(said(read("\xEF\xBB\xBFtime,gauge,counter,fate,mm\r\n"
                      "2024-03-01 10:00:05.125Z,A,1,kept,0.2\r\n\r\n")),
            plain);
  EXPECT_EQ(said(read(gzip_member("time,gauge,counter\n2024-03-01T10:00:05.125Z,A,1\n"))), plain);
}

TEST(TipReader, TakesTimesWithoutAnOffsetAsTold) {
  const char* text = "time,gauge\n2024-07-01T10:00:05,A\n2024-07-01T10:00,A\n";
  Notices notices;
  EXPECT_EQ(said(parse_tips(text, "tips.csv", kAB, {}, notices)), "A/: 10:00:05Z 10:00:00Z\n");
  ASSERT_EQ(notices.size(), 1U);
  EXPECT_NE(notices[0].find("taken as UTC"), std::string::npos);
  TipReadOptions options;
  options.utc_offset = std::chrono::minutes(-90);
  EXPECT_EQ(said(read(text, options)), "A/: 11:30:05Z 11:30:00Z\n");
  options.utc_offset.reset();
  options.time_zone = "Europe/Paris";
  EXPECT_EQ(said(read(text, options)), "A/: 08:00:05Z 08:00:00Z\n");
}

TEST(TipReader, CountsRowsOfGaugesThatAreNotInTheNetwork) {
  Notices notices;
  const char* text = "time,gauge\n2024-03-01T10:00Z,A\n2024-03-01T10:00Z,Z\n";
  parse_tips(text, "tips.csv", kAB, {}, notices);
  EXPECT_EQ(notices,
            (Notices{"1 rows of 1 gauges that are not in the gauge list were left out (first by "
                     "name: Z)"}));
  TipReadOptions strict;
  strict.strict = true;
  EXPECT_EQ(refusal(text, strict),
            "tips.csv:3:19: gauge 'Z' is not in the gauge list; add it there, or leave out "
            "--strict");
}

TEST(TipReader, NamesWhatIsWrong) {
  const std::string header = "time,gauge,counter\n";
  EXPECT_EQ(refusal(""), "tips.csv: is empty; a tip file begins with a header");
  EXPECT_EQ(refusal("when,gauge\n"),
            "tips.csv:1: there is no column 'time' (found 'when,gauge'); add it, separated by "
            "commas");
  EXPECT_EQ(refusal("time,id\n"),
            "tips.csv:1: there is no column 'gauge' (found 'time,id'); add it");
  EXPECT_EQ(refusal("time,gauge,depth_mm\n"),
            "tips.csv:1: column 'depth_mm' makes this a rain file; give it to check or fill as "
            "--rain, and here time,gauge[,counter] of single tips");
  EXPECT_EQ(refusal(header),
            "tips.csv: holds no tip of a gauge in the list; check the files and the gauge ids");
  EXPECT_EQ(refusal(header + "2024-03-01T10:00Z,A,1\n2024-02-30T10:00:00Z,A,1\n"),
            "tips.csv:3:1: time '2024-02-30T10:00:00Z' is not a time; write it as "
            "2021-03-04T10:00:00.25Z");
  EXPECT_EQ(refusal(header + "2024-03-01T10:00Z,,1\n"),
            "tips.csv:2:19: the gauge is empty; fill it in");
  EXPECT_EQ(refusal(header + "2024-03-01T10:00Z,A\n"),
            "tips.csv:2: this line has 2 fields, the header has 3; make them the same");
  EXPECT_EQ(refusal(header + "2024-03-01T10:00Z,A,1\n2024-03-01T10:00,A,1\n"),
            "tips.csv:3: times with an offset and times without one are mixed; write all the same "
            "way");
  EXPECT_EQ(refusal(header + "2024-03-01T10:00Z,A,\x01\n"),
            "tips.csv:2:21: this byte is not text; a tip file is CSV in UTF-8, plain or gzip");
  std::string many = header;
  for (int i = 0; i < 17; ++i) many += "2024-03-01T10:00Z,A," + std::to_string(i) + "\n";
  EXPECT_EQ(refusal(many),
            "tips.csv:18:21: counter '16' is one more than 16; a bucket has one or two: name in "
            "this column which of them it was");
}

TEST(TipReader, RefusesOptionsThatContradict) {
  TipReadOptions options;
  options.utc_offset = std::chrono::minutes(0);
  options.time_zone = "Europe/Paris";
  EXPECT_THROW(read("time,gauge\n2024-03-01T10:00,A\n", options), Error);
}

// The fast way and the plain one, which quotes force, read the same; so does any number of threads.
TEST(TipReader, ReadsFastWhatItReadsPlainly) {
  Random random("ReadsFastWhatItReadsPlainly");
  std::string fast = "time,gauge,counter\n";
  std::string plain = fast;
  Instant t = parse_iso8601("2023-12-30T22:00Z")->utc();
  for (int i = 0; i < 150'000; ++i) {
    t += Duration(static_cast<std::int64_t>(random.exponential(2e7)));
    if (random.chance(0.3)) t = std::chrono::floor<std::chrono::seconds>(t);
    const std::string time = format_utc(t);
    const std::string counter = random.chance(0.5) ? "1" : "2";
    fast += time + ",A," + counter + "\n";
    plain += "\"" + time + "\",A," + counter + "\n";
  }
  TipReadOptions one;
  one.threads = 1;
  TipReadOptions four;
  four.threads = 4;
  const std::string want = said(read(plain, one));
  EXPECT_EQ(said(read(fast, one)), want);
  EXPECT_EQ(said(read(fast, four)), want);
}

TEST(TipReader, ReadsSeveralFilesAsOne) {
  const support::TemporaryFolder folder;
  folder.write("a.csv", "time,gauge\n2024-03-01T10:00:01Z,A\n");
  folder.write("b.csv", "gauge,time\nA,2024-03-01T10:00:02Z\n");
  Notices notices;
  EXPECT_EQ(said(read_tips(std::vector{folder.path()}, kAB, {}, notices)),
            "A/: 10:00:01Z 10:00:02Z\n");
}

}  // namespace
}  // namespace gaugeloom
