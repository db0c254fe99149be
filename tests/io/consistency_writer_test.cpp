#include "gaugeloom/io/consistency_writer.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

TEST(ConsistencyWriter, WritesARowPerWindow) {
  Gauge gauge;
  gauge.id = "A,1";
  Network network;
  network.gauges = {gauge};
  ConsistencyRow row;
  row.window = WindowKind::month;
  row.over = {parse_iso8601("2023-10-01T00:00:00Z")->utc(),
              parse_iso8601("2023-11-01T00:00:00Z")->utc()};
  row.observed_mm = 12.2;
  row.expected_mm = 20.1234;
  row.low_mm = 15;
  row.high_mm = 25.5;
  row.p_low = 0.0012345678;
  row.p_high = 0.9987654322;
  row.neighbours = 8;
  row.share_measured = 0.875;
  row.combined_p = 0.004;
  row.driven_by = WindowKind::day;
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "consistency.csv");
  write_consistency(file, std::vector{row}, network);
  file.commit();
  EXPECT_EQ(support::read_file(folder / "consistency.csv"),
            "gauge,window,from,to,observed_mm,expected_mm,low_mm,high_mm,p_low,p_high,neighbours,"
            "share_measured,combined_p,driven_by\n"
            "\"A,1\",month,2023-10-01T00:00:00Z,2023-11-01T00:00:00Z,12.200,20.123,15.000,25.500,"
            "0.001235,0.998765,8,0.88,0.004000,24h\n");
}

}  // namespace
}  // namespace gaugeloom
