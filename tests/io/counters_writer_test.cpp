#include "gaugeloom/io/counters_writer.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(static_cast<long>(1e6 * seconds))); }

std::string written(std::vector<CounterRow> rows) {
  const support::TemporaryFolder folder;
  const Network network = support::network_of({"A"});
  CorrectedNetwork corrected;
  corrected.counters.push_back(std::move(rows));
  const std::vector<std::string> counters{"", "radio"};
  AtomicFile file(folder / "counters.csv");
  write_counters(file, corrected, network, counters);
  file.commit();
  std::ifstream in(folder / "counters.csv", std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

constexpr const char* kHeader =
    "gauge,what,from,to,usual,other,believed,tips_usual,tips_other,matched,match_rate,"
    "expected_tips,clock_s,meaning\n";

TEST(CountersWriter, WritesOnlyAHeaderWhereThereIsNothingToSay) { EXPECT_EQ(written({}), kHeader); }

TEST(CountersWriter, SaysWhatEachRowMeans) {
  CounterRow month;
  month.over = {at_s(0), at_s(31 * 86400)};
  month.other = 1;
  month.tips_usual = 100;
  month.tips_other = 98;
  month.both = 98;
  month.kept = 100;
  month.expected_tips = 250.4;
  month.ahead = Duration(-1250000);
  CounterRow spell = month;
  spell.kind = CounterRowKind::spell;
  spell.over = {at_s(60.5), at_s(120.1)};
  spell.verdict = CounterVerdict{true, CounterReason::dead_link};
  spell.expected_tips = std::numeric_limits<double>::quiet_NaN();
  spell.ahead.reset();
  CounterRow set;
  set.kind = CounterRowKind::clock_set;
  set.over = spell.over;
  set.other = 1;
  set.ahead = std::chrono::hours(-1);
  CounterRow back;
  back.kind = CounterRowKind::set_back;
  back.over = spell.over;
  back.usual = 1;
  back.tips_usual = 7;
  back.ahead = Duration(-59600000);
  EXPECT_EQ(written({month, spell, set, back}),
            std::string(kHeader) +
                "A,month,1970-01-01T00:00:00Z,1970-02-01T00:00:00Z,,radio,,100,98,98,0.980,250,"
                "-1.3,\"both agree, on less than half of what the neighbours had: look at funnel "
                "and bucket\"\n"
                "A,dead_link,1970-01-01T00:01:00Z,1970-01-01T00:02:01Z,,radio,radio,100,98,98,"
                "0.980,,,the unnamed one was silent while radio tipped on: its electronics or "
                "telemetry\n"
                "A,clock_set,1970-01-01T00:01:00Z,1970-01-01T00:02:01Z,,radio,,,,,,,-3600.0,"
                "the clock of radio or the unnamed one was set\n"
                "A,set_back,1970-01-01T00:01:00Z,1970-01-01T00:02:01Z,radio,,,7,,,,,-59.6,\"tips "
                "of radio stand after later ones: its clock was set back, or files are out of "
                "order\"\n");
}

}  // namespace
}  // namespace gaugeloom
