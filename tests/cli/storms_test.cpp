#include <gtest/gtest.h>

#include <sstream>

#include "cli/command.hpp"
#include "gaugeloom/io/small_table_reader.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

void say(const std::vector<std::string>& args) {
  std::ostringstream out;
  std::ostringstream err;
  ASSERT_EQ(dispatch(args, {out, err}), Exit::ok) << err.str();
  EXPECT_EQ(err.str(), "");
}

const std::string kGauges = GAUGELOOM_TEST_DATA "/cli/inputs/tiny/gauges.csv";

// What was filled stays as it is, and the errors of its totals are learned again.
TEST(Storms, AreTheSameFromARecordAndFromWhatFillMadeOfIt) {
  const support::TemporaryFolder folder;
  const std::string rain = GAUGELOOM_TEST_DATA "/cli/inputs/tiny/rain_gap.csv";
  say({"fill", "--gauges", kGauges, "--rain", rain, "--out", folder / "filled"});
  say({"storms", "--gauges", kGauges, "--rain", rain, "--out", folder / "raw"});
  say({"storms", "--gauges", kGauges, "--rain", folder / "filled/rain.csv", "--out",
       folder / "again"});
  for (const char* name : {"storms.csv", "storm_gauges.csv", "storm_track.csv"}) {
    const std::string raw = support::read_file(folder / (std::string("raw/") + name));
    EXPECT_GT(raw.size(), 300U);
    EXPECT_EQ(raw, support::read_file(folder / (std::string("again/") + name))) << name;
  }
}

// A total that was measured over days and spread: filling again would lose it.
TEST(Storms, KeepWhatWasFilled) {
  const support::TemporaryFolder folder;
  const std::string rain = GAUGELOOM_TEST_DATA "/cli/fill/accumulated_total/totals.csv";
  say({"fill", "--gauges", kGauges, "--rain", rain, "--out", folder / "filled"});
  say({"storms", "--gauges", kGauges, "--rain", rain, "--out", folder / "raw"});
  say({"storms", "--gauges", kGauges, "--rain", folder / "filled/rain.csv", "--out",
       folder / "again"});
  const SmallTable raw = read_small_table(folder / "raw/storm_gauges.csv");
  const SmallTable again = read_small_table(folder / "again/storm_gauges.csv");
  ASSERT_EQ(raw.row_count(), again.row_count());
  bool estimated = false;
  for (std::size_t row = 0; row < raw.row_count(); ++row) {
    EXPECT_EQ(raw.at(row, 2), again.at(row, 2));  // total_mm
    EXPECT_EQ(raw.at(row, 8), again.at(row, 8));  // share_filled
    estimated = estimated || raw.at(row, 8) != "0.0000";
  }
  EXPECT_TRUE(estimated);
}

}  // namespace
}  // namespace gaugeloom
