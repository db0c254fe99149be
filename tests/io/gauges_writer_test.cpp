#include "gaugeloom/io/gauges_writer.hpp"

#include <gtest/gtest.h>

#include <functional>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::TemporaryFolder;

std::string written(const std::function<void(AtomicFile&)>& write) {
  const TemporaryFolder folder;
  AtomicFile file(folder / "table.csv");
  write(file);
  file.commit();
  return support::read_file(folder / "table.csv");
}

Network one_gauge() {
  Gauge gauge;
  gauge.id = "A1";
  gauge.name = "Mill, upper";
  Network network;
  network.gauges = {gauge};
  return network;
}

GaugeOverview overview() {
  GaugeOverview row;
  row.observed_mm = 12.3456;
  row.share_missing = 0.25;
  row.confirmed = 1;
  row.visit_rank = 1;
  row.visit_reason = "confirmed blocked, now";
  return row;
}

const std::string kHeader =
    "gauge,name,observed_mm,expected_mm,total_mm,share_missing,share_estimated,share_testable,"
    "neighbours,site_ratio,confirmed,provisional,smallest_block_mm,smallest_step_percent,"
    "visit_rank,visit_reason\n";

TEST(GaugesWriter, WritesARowPerGauge) {
  GaugeSummary summary;
  summary.expected_mm = 14;
  summary.share_testable = 0.5;
  summary.neighbours = 7;
  summary.site_ratio = 1.1;
  summary.smallest_block_mm = 3.5;
  summary.smallest_step_percent = 9.87;
  const std::vector<GaugeOverview> overviews{overview()};
  const std::vector<GaugeSummary> summaries{summary};
  EXPECT_EQ(
      written([&](AtomicFile& file) { write_gauges(file, one_gauge(), overviews, summaries); }),
      kHeader +
          "A1,\"Mill, upper\",12.346,14.000,,0.2500,0.0000,0.5000,7,1.1000,1,0,3.500,9.9,1,"
          "\"confirmed blocked, now\"\n");
}

TEST(GaugesWriter, LeavesFieldsEmptyWhereNothingWasChecked) {
  const std::vector<GaugeOverview> overviews{overview()};
  EXPECT_EQ(
      written([&](AtomicFile& file) { write_gauges(file, one_gauge(), overviews, {}); }),
      kHeader +
          "A1,\"Mill, upper\",12.346,,,0.2500,0.0000,,,,1,0,,,1,\"confirmed blocked, now\"\n");
}

}  // namespace
}  // namespace gaugeloom
