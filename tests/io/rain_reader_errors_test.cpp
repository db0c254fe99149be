#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using std::chrono::hours;
using support::network_of;
using support::rain_refusal;

const Network kAB = network_of({"A", "B"});

struct BadInput {
  const char* what;
  std::string text;
  std::string sentence;
};

void expect_refused(const std::vector<BadInput>& inputs, const RainReadOptions& options = {}) {
  for (const BadInput& input : inputs) {
    SCOPED_TRACE(input.what);
    EXPECT_EQ(rain_refusal(input.text, kAB, options), "rain.csv" + input.sentence);
  }
}

const std::string kHeader = "time,gauge,depth_mm\n";

TEST(RainReaderErrors, NamesWhatIsWrongWithAHeader) {
  expect_refused({
      {"empty", "", ": is empty; a rain file begins with a header"},
      {"no time", "when,gauge,depth_mm\n",
       ":1: there is no column 'time' (found 'when,gauge,depth_mm'); add it, separated by commas"},
      {"semicolons", "time;gauge;depth_mm\n",
       ":1: there is no column 'time' (found 'time;gauge;depth_mm'); add it, separated by commas"},
      {"no gauge", "time,depth_mm\n",
       ":1: there is no column 'gauge' (found 'time,depth_mm'); add it"},
      {"no depth", "time,gauge,rain\n",
       ":1: there is no column 'depth_mm' (found 'time,gauge,rain'); add it"},
      {"inches", "time,gauge,depth_in\n",
       ":1: there is no column 'depth_mm' (found 'time,gauge,depth_in'); give --unit in"},
      {"twice", "time,gauge,depth_mm,time\n", ":1:21: column 'time' stands twice; rename one"},
      {"wide twice", "time,A,B,A\n", ":1:10: gauge 'A' has two columns; keep one"},
      {"wide empty", "time,A,,B\n",
       ":1:8: a column has no name; a wide file has time and one column per gauge"},
      {"time alone", "time\n2024-03-01T00:00Z\n",
       ":1: there is no column beside time; add gauge and depth_mm, or a column per gauge"},
      {"open quote", "time,\"gauge\n",
       ":1:6: a quote is opened and not closed on its line; close it"},
      {"not text", std::string("time\0gauge\n", 11),
       ":1:5: this byte is not text; a rain file is CSV in UTF-8, plain or gzip"},
      {"header only", kHeader,
       ": holds no depth of a gauge in the list; check the files and the gauge ids"},
  });
}

TEST(RainReaderErrors, NamesWhatIsWrongWithARow) {
  const std::string begin = kHeader + "2024-03-01T00:00Z,A,1\n";
  expect_refused({
      {"time", begin + "2024-02-30T00:00Z,A,1\n",
       ":3:1: time '2024-02-30T00:00Z' is not a time; write it as 2021-03-04T10:00Z"},
      {"within a second", begin + "2024-03-01T00:00:00.5Z,A,1\n",
       ":3:1: time '2024-03-01T00:00:00.5Z' lies within a second; depths per step need whole "
       "seconds"},
      {"few fields", begin + "2024-03-01T01:00Z,A\n",
       ":3: this line has 2 fields, the header has 3; make them the same"},
      {"many fields", begin + "2024-03-01T01:00Z,A,1,2\n",
       ":3: this line has 4 fields, the header has 3; make them the same"},
      {"no gauge", begin + "2024-03-01T01:00Z,,1\n", ":3:19: the gauge is empty; fill it in"},
      {"negative", begin + "2024-03-01T01:00Z,A,-0.2\n",
       ":3:21: depth '-0.2' is negative; correct it, or leave it empty where it is missing"},
      {"word", begin + "2024-03-01T01:00Z,A,wet\n",
       ":3:21: depth 'wet' is not a number; correct it, or leave it empty where it is missing"},
      {"NaN", begin + "2024-03-01T01:00Z,A,nan\n",
       ":3:21: depth 'nan' is not a number; correct it, or leave it empty where it is missing"},
      {"decimal comma", begin + "2024-03-01T01:00Z,A,\"0,2\"\n",
       ":3:21: depth '0,2' is not a number; correct it, or leave it empty where it is missing"},
      {"infinite", begin + "2024-03-01T01:00Z,A,inf\n",
       ":3:21: depth 'inf' is infinite; correct it, or leave it empty where it is missing"},
      {"too large", begin + "2024-03-01T01:00Z,A,1e999\n",
       ":3:21: depth '1e999' is infinite; correct it, or leave it empty where it is missing"},
      {"an unknown gauge's depth", begin + "2024-03-01T01:00Z,X,-1\n",
       ":3:21: depth '-1' is negative; correct it, or leave it empty where it is missing"},
      {"more after a quote", begin + "2024-03-01T01:00Z,\"A\"x,1\n",
       ":3:22: a closing quote is followed by more text; double the quotes inside a field"},
      {"not text", begin + "2024-03-01T01:00Z,A,1\xC3\x28\n",
       ":3:22: this byte is not text; a rain file is CSV in UTF-8, plain or gzip"},
      {"the first of two", begin + "2024-03-01T01:00Z,A,x\n\x01\n",
       ":3:21: depth 'x' is not a number; correct it, or leave it empty where it is missing"},
  });
}

TEST(RainReaderErrors, NamesWhatContradictsItself) {
  expect_refused({
      {"two values", kHeader + "2024-03-01T00:00Z,A,0.2\n2024-03-01T00:00Z,A,0.4\n",
       ":3:21: gauge A has two values for 2024-03-01T00:00:00Z (0.2 and 0.4 mm); keep one"},
      {"back", kHeader + "2024-03-01T01:00Z,A,0.2\n2024-03-01T02:00Z,B,1\n2024-03-01T00:00Z,A,0\n",
       ":4:1: gauge A goes back in time, from 2024-03-01T01:00:00Z to 2024-03-01T00:00:00Z; sort "
       "its rows by time"},
      {"zones", kHeader + "2024-03-01T00:00Z,A,0.2\n2024-03-01T01:00,A,0.4\n",
       ":3:1: this time has no offset and earlier ones of the file have one; write all of them "
       "the same way"},
      {"off the step",
       kHeader + "2024-03-01T00:00Z,A,1\n2024-03-01T00:10Z,A,1\n2024-03-01T00:25Z,A,1\n",
       ":4: time 2024-03-01T00:25:00Z is off the step of 10min found from the data, counted from "
       "2024-03-01T00:00:00Z; correct it or give another --step"},
      {"one time", kHeader + "2024-03-01T00:00Z,A,1\n",
       ": all rows have one time, so the step cannot be found; give --step"},
  });
}

TEST(RainReaderErrors, NamesTimesOffTheGivenStep) {
  RainReadOptions options;
  options.step = hours{1};
  expect_refused({{"off", kHeader + "2024-03-01T00:00Z,A,1\n2024-03-01T00:30Z,A,1\n",
                   ":3: time 2024-03-01T00:30:00Z is off the step of 1h given, counted from "
                   "2024-03-01T00:00:00Z; correct it or give another --step"}},
                 options);
}

TEST(RainReaderErrors, NamesWhatIsWrongWithTotals) {
  const std::string begin = "time,gauge,depth_mm,since\n2024-03-01T00:00Z,A,1,\n";
  RainReadOptions options;
  options.step = hours{1};
  expect_refused(
      {{"since after", begin + "2024-03-01T03:00Z,A,7,2024-03-01T04:00Z\n",
        ":3:23: since '2024-03-01T04:00Z' is not before its time; correct one of them"},
       {"since no time", begin + "2024-03-01T03:00Z,A,7,soon\n",
        ":3:23: since 'soon' is not a time; write it as 2021-03-04T10:00Z"},
       {"since without offset", begin + "2024-03-01T03:00Z,A,7,2024-03-01T00:00\n",
        ":3:23: since '2024-03-01T00:00' and its time mix an offset with none; write both the same "
        "way"},
       {"off the step", begin + "2024-03-01T03:00Z,A,7,2024-03-01T00:30Z\n",
        ":3:21: this total covers 150min, which is no whole number of steps of 1h; correct since"},
       {"depth within", begin + "2024-03-01T02:00Z,A,1,\n2024-03-01T03:00Z,A,7,2024-03-01T00:00Z\n",
        ":4:21: gauge A has a total of 7 mm from 2024-03-01T00:00:00Z to 2024-03-01T03:00:00Z and "
        "a depth of a step within; keep one of them"},
       {"overlap",
        begin +
            "2024-03-01T03:00Z,A,7,2024-03-01T00:00Z\n2024-03-01T04:00Z,A,5,2024-03-01T02:00Z\n",
        ":4:21: gauge A has two totals that overlap, of 7 and 5 mm until 2024-03-01T04:00:00Z; "
        "keep one"}},
      options);
}

TEST(RainReaderErrors, NamesAQualityItDoesNotKnow) {
  expect_refused({{"quality", "time,gauge,depth_mm,quality\n2024-03-01T00:00Z,A,1,fine\n",
                   ":2:23: quality 'fine' is not known; map it in [quality_codes] of the "
                   "configuration"}});
}

TEST(RainReaderErrors, RefusesMoreWhenStrict) {
  RainReadOptions options;
  options.strict = true;
  expect_refused(
      {{"unknown", kHeader + "2024-03-01T00:00Z,X,1\n",
        ":2:19: gauge 'X' is not in the gauge list; add it there, or leave out --strict"},
       {"unknown column", "time,A,X\n",
        ":1: gauge 'X' is not in the gauge list; add it there, or leave out --strict"}},
      options);
  const std::string flood = kHeader + "2024-03-01T00:00Z,A,1\n2024-03-01T01:00Z,A,2000\n";
  EXPECT_EQ(rain_refusal(flood, kAB, options),
            "gauge A has 2000 mm at 2024-03-01T01:00:00Z, more than fell anywhere in 1h; correct "
            "it, or leave out --strict");
  EXPECT_EQ(rain_refusal(flood, kAB), "accepted");
}

TEST(RainReaderErrors, NamesTheHourThatHappensTwice) {
  RainReadOptions options;
  options.time_zone = "Europe/Berlin";
  expect_refused({{"twice", kHeader + "2024-10-27T01:00,A,1\n2024-10-27T02:00,A,1\n",
                   ":3:1: 2024-10-27T02:00 in Europe/Berlin happens twice, when the clocks go "
                   "back; write the offset beside the time"}},
                 options);
}

TEST(RainReaderErrors, NamesDamagedGzip) {
  const std::string packed = gzip_member(kHeader + "2024-03-01T00:00Z,A,1\n");
  expect_refused(
      {{"cut", packed.substr(0, packed.size() - 9),
        ": the gzip data end too early; copy the file again"},
       {"garbage after", packed + "rest", ": the gzip data are damaged; copy the file again"}});
}

TEST(RainReaderErrors, NamesBrokenOptions) {
  EXPECT_EQ(rain_refusal(kHeader, kAB, {.absent = AbsentRow::zero}),
            "--absent zero needs --step, since absent rows do not show it");
  EXPECT_EQ(rain_refusal(kHeader, kAB,
                         {.utc_offset = std::chrono::minutes{0}, .time_zone = "Europe/Berlin"}),
            "give --utc-offset or --time-zone, not both");
  EXPECT_EQ(rain_refusal(kHeader, kAB, {.threads = -1}), "--threads must be 0 or more");
}

TEST(RainReaderErrors, NamesFilesThatAreNotThereAndMixedFiles) {
  const support::TemporaryFolder folder;
  const auto refusal = [&](const std::vector<std::string>& paths) -> std::string {
    Notices notices;
    try {
      read_rain(paths, kAB, {}, notices);
    } catch (const Error& error) {
      return error.what();
    }
    return "accepted";
  };
  EXPECT_EQ(refusal({folder / "none.csv"}),
            folder / "none.csv: there is no such file, and none like it; check the path");
  EXPECT_EQ(refusal({folder.path()}),
            folder.path() + ": the folder holds no .csv or .csv.gz file; check its path");
  const std::string a = folder.write("a.csv", kHeader + "2024-03-01T00:00Z,A,1\n");
  const std::string b = folder.write("b.csv", kHeader + "2024-03-01T01:00,A,1\n");
  EXPECT_EQ(refusal({a, b}),
            b + ":2:1: this file writes times without an offset and an earlier one does not; give "
                "--utc-offset or --time-zone for those without");
}

}  // namespace
}  // namespace gaugeloom
