#include "gaugeloom/io/rehearsal_writer.hpp"

#include <gtest/gtest.h>

#include "support/csv_table.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

Rehearsal one_block() {
  Rehearsal rehearsal;
  rehearsal.untouched = {{3, 0, 10}};
  rehearsal.neighbours.resize(fault_variants().size());
  FaultOutcome outcome;
  outcome.hidden_mm = 30;
  outcome.found = true;
  outcome.kind = FindingKind::blocked;
  outcome.hidden_at_call_mm = 4.25;
  rehearsal.outcomes = {outcome};
  return rehearsal;
}

TEST(RehearsalWriter, WritesFalseCallsFirstThenARowPerFault) {
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "rehearsal.csv");
  write_rehearsal(file, one_block(), std::chrono::hours(1));
  file.commit();
  const auto table = support::CsvTable::read_file(folder / "rehearsal.csv");
  ASSERT_EQ(table.rows(), 2 + fault_variants().size());
  EXPECT_EQ(table.text(0, "fault"), "none");
  EXPECT_EQ(table.text(0, "calls"), "3");
  EXPECT_EQ(table.text(0, "calls_per_gauge_year"), "0.3000");
  // 3 events: 0.619 to 8.767 (the usual table of exact Poisson limits, from memory), over 10 years
  EXPECT_EQ(table.text(0, "low_per_gauge_year"), "0.0619");
  EXPECT_EQ(table.text(0, "high_per_gauge_year"), "0.8767");
  EXPECT_EQ(table.text(1, "size"), "confirmed");
  EXPECT_EQ(table.text(2, "fault"), "full_block");
  EXPECT_EQ(table.text(2, "median_mm"), "4.250");
  EXPECT_EQ(table.text(2, "called_as"), "blocked");
  EXPECT_EQ(table.text(3, "planted"), "0");
  EXPECT_EQ(table.text(3, "found"), "");
}

TEST(RehearsalWriter, WritesARowPerGauge) {
  const support::TemporaryFolder folder;
  Network network;
  network.gauges.resize(1);
  network.gauges[0].id = "V01";
  AtomicFile file(folder / "gauges.csv");
  write_rehearsal_gauges(file, one_block(), network);
  file.commit();
  EXPECT_EQ(support::read_file(folder / "gauges.csv"),
            "gauge,name,blocks,telling,before_5mm,before_10mm,median_mm,calls,confirmed_calls,"
            "gauge_years\nV01,,1,1,1.0000,1.0000,4.250,3,0,10.000\n");
}

TEST(RehearsalWriter, LeavesScoresOfNothingEmpty) {
  const support::TemporaryFolder folder;
  FillScore score;
  WindowScore& storms = score.windows.emplace_back();
  storms.window = "storm";
  storms.hours = 3.5;
  storms.windows = 2;
  storms.fill = {0.5, 0.25};
  storms.nearest = {1, FaultOutcome::kNone};
  storms.crps_mm = 0.125;
  storms.wet = {2, 0.5, 0.5, 0};
  storms.heavy.coverage = FaultOutcome::kNone;
  AtomicFile file(folder / "fill.csv");
  write_rehearsal_fill(file, score);
  file.commit();
  const auto table = support::CsvTable::read_file(folder / "fill.csv");
  ASSERT_EQ(table.rows(), 1U);
  EXPECT_EQ(table.text(0, "window"), "storm");
  EXPECT_EQ(table.text(0, "hours"), "3.500");
  EXPECT_EQ(table.text(0, "rmse_mm"), "0.5000");
  EXPECT_EQ(table.text(0, "rmse_nearest_mm"), "1.0000");
  EXPECT_EQ(table.text(0, "crps_mm"), "0.1250");
  EXPECT_EQ(table.text(0, "mae_mm"), "0.2500");
  EXPECT_EQ(table.text(0, "mae_nearest_mm"), "");
  EXPECT_EQ(table.text(0, "wet_windows"), "2");
  EXPECT_EQ(table.text(0, "below"), "0.5000");
  EXPECT_EQ(table.text(0, "heavy_windows"), "0");
  EXPECT_EQ(table.text(0, "heavy_coverage"), "");
}

}  // namespace
}  // namespace gaugeloom
