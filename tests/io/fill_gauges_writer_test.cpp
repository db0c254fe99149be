#include "gaugeloom/io/fill_gauges_writer.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

TEST(FillGaugesWriter, WritesARowPerGauge) {
  const Instant from{std::chrono::sys_days{std::chrono::year{2021} / 3 / 1}};
  Network network;
  network.gauges.resize(2);
  network.gauges[0].id = "A1";
  network.gauges[1].id = "A2";
  FillResult filled;
  filled.record = unchecked_record(RainTable(StepAxis(from, std::chrono::hours{1}, 10), 2));
  filled.plan.method = FillMethod::kriging;
  filled.gauges.resize(2);
  filled.gauges[0] = {2, 1, 0, 3.25, 0.98, 0.5, 0.75, Interval{from, from + std::chrono::hours{3}}};
  filled.gauges[1].refused = 10;
  filled.gauges[1].hourly_error_mm = std::numeric_limits<double>::quiet_NaN();
  filled.gauges[1].skill = filled.gauges[1].hourly_error_mm;
  filled.recovered = {{0, {from, from}, 5, 5, true}, {0, {from, from}, 7, 9, false}};
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "fill_gauges.csv");
  write_fill_gauges(file, filled, network);
  file.commit();
  EXPECT_EQ(support::read_file(folder / "fill_gauges.csv"),
            "gauge,share_neighbours,share_total,share_refused,filled_mm,method,site_ratio,"
            "hourly_error_mm,skill,worst_gap_from,worst_gap_to,worst_gap_hours,recovered_mm\n"
            "A1,0.2000,0.1000,0.0000,3.250,kriging,0.9800,0.500,0.7500,2021-03-01T00:00:00Z,"
            "2021-03-01T03:00:00Z,3.00,5.000\n"
            "A2,0.0000,0.0000,1.0000,0.000,kriging,1.0000,,,,,,0.000\n");
}

}  // namespace
}  // namespace gaugeloom
