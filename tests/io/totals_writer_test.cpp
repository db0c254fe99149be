#include "gaugeloom/io/totals_writer.hpp"

#include <gtest/gtest.h>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

Network one_gauge() {
  Gauge gauge;
  gauge.id = "A1";
  gauge.name = "Mill, upper";
  Network network;
  network.gauges = {gauge};
  return network;
}

TEST(TotalsWriter, WritesARowPerPeriod) {
  ReportingTotal total;
  total.period = ReportingPeriod::month;
  total.over = {std::chrono::sys_days{std::chrono::year{2021} / 3 / 1},
                std::chrono::sys_days{std::chrono::year{2021} / 4 / 1}};
  total.depth_mm = 81.25;
  total.low_mm = 80;
  total.high_mm = 83;
  total.share_estimated = 0.0312;
  const std::vector<ReportingTotal> totals{total};
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "totals.csv");
  write_totals(file, totals, one_gauge());
  file.commit();
  EXPECT_EQ(support::read_file(folder / "totals.csv"),
            "gauge,period,from,to,total_mm,low_mm,high_mm,share_missing,share_estimated\n"
            "A1,month,2021-03-01T00:00:00Z,2021-04-01T00:00:00Z,81.250,80.000,83.000,0.0000,"
            "0.0312\n");
}

TEST(TotalsWriter, AWindowIsCalledByItsLength) {
  ReportingTotal total;
  total.period = ReportingPeriod::window;
  total.over.from = std::chrono::sys_days{std::chrono::year{2021} / 3 / 1};
  total.over.to = total.over.from + std::chrono::hours{6};
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "totals.csv");
  write_totals(file, std::vector<ReportingTotal>{total}, one_gauge());
  file.commit();
  EXPECT_NE(support::read_file(folder / "totals.csv").find("\nA1,6h,2021-03-01T00:00:00Z,"),
            std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
