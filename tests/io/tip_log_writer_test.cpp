#include "gaugeloom/io/tip_log_writer.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "gaugeloom/io/tip_reader.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

const Network kAB = support::network_of({"A", "B"});
constexpr std::string_view kTips =
    "time,gauge,counter\n"
    "2024-03-31T23:59:58.5Z,A,1\n2024-03-31T23:59:58.53Z,A,1\n2024-04-01T00:00:07.000001Z,A,1\n"
    "2024-03-31T23:59:58.5Z,A,2\n1969-12-31T23:59:59.75Z,B,1\n";

std::string contents(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

struct Written {
  std::string log;
  std::string months;
};
Written write(std::string_view text, TipLogOptions options = {}) {
  const support::TemporaryFolder folder;
  Notices notices;
  TipRecord tips = parse_tips(text, "tips.csv", kAB, {}, notices);
  AtomicFile log_file(folder / "tips.csv");
  TipLogWriter log(log_file, kAB, tips.counters, options);
  CorrectNetworkOptions correct;
  correct.step = std::chrono::hours(24);
  correct.threads = options.threads;
  const CorrectedNetwork corrected = correct_network(
      std::move(tips), gauge_facts(kAB, {}, {}), correct,
      [&](std::size_t first, std::span<const CorrectedGauge> few) { log.write(first, few); });
  log.finish();
  log_file.commit();
  AtomicFile months_file(folder / "tip_months.csv");
  write_tip_months(months_file, corrected, kAB);
  months_file.commit();
  return {contents(folder / "tips.csv"), contents(folder / "tip_months.csv")};
}

TEST(TipLogWriter, WritesEveryTipWithItsFate) {
  EXPECT_EQ(write(kTips).log,
            "time,gauge,counter,fate,counted_mm,corrected_mm\n"
            "2024-03-31T23:59:58.500000Z,A,1,kept,0.200000,0.200000\n"
            "2024-03-31T23:59:58.530000Z,A,1,bounce,0.200000,0.000000\n"
            "2024-04-01T00:00:07.000001Z,A,1,kept,0.200000,0.211180\n"
            "2024-03-31T23:59:58.500000Z,A,2,other_counter,0.200000,0.000000\n"
            "1969-12-31T23:59:59.750000Z,B,1,kept,0.200000,0.200000\n");
}

TEST(TipLogWriter, SumsUpTheMonths) {
  EXPECT_EQ(
      write(kTips).months,
      "gauge,month,correction,tips,kept,bounce,duplicate,test,outside,other_counter,"
      "counted_mm,corrected_mm,by_pours_mm,share_to_2_mm_h,share_to_10_mm_h,share_to_50_mm_h,"
      "share_above,matched,only_usual,only_other,match_rate\n"
      "A,2024-03,tip_loss,3,1,1,0,0,0,1,0.200,0.200,0.000,,,,,1,0,0,1.000\n"
      "A,2024-04,tip_loss,1,1,0,0,0,0,0,0.200,0.211,0.000,0.000,0.000,0.000,1.000,0,1,0,0.000\n"
      "B,1969-12,tip_loss,1,1,0,0,0,0,0,0.200,0.200,0.000,,,,,,,,\n");
}

TEST(TipLogWriter, GivesTheSameWhenItsLogIsCorrectedAgain) {
  const Written first = write(kTips);
  const Written again = write(first.log);
  EXPECT_EQ(again.log, first.log);
  EXPECT_EQ(again.months, first.months);
}

TEST(TipLogWriter, DoesNotDependOnThreads) {
  TipLogOptions options;
  options.threads = 3;
  EXPECT_EQ(write(kTips, options).log, write(kTips).log);
  options.gzip = true;
  EXPECT_LT(write(kTips, options).log.find("\x1f\x8b"), 1U);
}

}  // namespace
}  // namespace gaugeloom
