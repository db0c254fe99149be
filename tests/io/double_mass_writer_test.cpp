#include "gaugeloom/io/double_mass_writer.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

TEST(DoubleMassWriter, WritesARowPerPoint) {
  Gauge gauge;
  gauge.id = "A,1";
  Network network;
  network.gauges = {gauge};
  const Instant time = parse_iso8601("2023-10-04T00:00:00Z")->utc();
  const std::vector<GaugeDoubleMass> points = {{0, time, 24.2, 25.1234}};
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "double_mass.csv");
  write_double_mass(file, points, network);
  file.commit();
  EXPECT_EQ(support::read_file(folder / "double_mass.csv"),
            "gauge,time,own_mm,neighbours_mm\n\"A,1\",2023-10-04T00:00:00Z,24.200,25.123\n");
}

}  // namespace
}  // namespace gaugeloom
