// What must not matter to calibration_step and calibration_drift.

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

using Call = std::tuple<std::string, FindingKind, Duration, double>;  // gauge, kind, from, score

RainTable two_changes() {
  RainTable table = support::changed_year(12, -0.17, 150);
  const RainTable drift = support::changed_year(20, -0.35, 60, 305);
  for (std::size_t i = 0; i < table.step_count(); ++i) table.set(20, i, drift.depth_mm(20, i));
  return table;
}

std::vector<Call> calls(const Network& network, const RainTable& table,
                        const CheckOptions& options = {}) {
  RainRecord record;
  record.depths = table;
  std::vector<Call> out;
  for (const Finding& f : check_network(network, record, options).findings) {
    if (f.kind != FindingKind::calibration_step && f.kind != FindingKind::calibration_drift)
      continue;
    out.emplace_back(network.gauges[f.gauge].id, f.kind, f.from - table.axis().begin(0), f.score);
  }
  std::sort(out.begin(), out.end());
  return out;
}

TEST(CalibrationLaws, OrderAndThreadsDoNotMatter) {
  const Network& network = support::healthy_year().network;
  const RainTable table = two_changes();
  const auto plain = calls(network, table);
  ASSERT_EQ(plain.size(), 2U);
  Network shuffled;
  RainTable rows(table.axis(), network.size());
  for (std::size_t i = 0; i < network.size(); ++i) {
    const std::size_t from = (i * 7 + 3) % network.size();  // 7 and 30 have no common divisor
    shuffled.gauges.push_back(network.gauges[from]);
    for (std::size_t s = 0; s < table.step_count(); ++s) rows.set(i, s, table.depth_mm(from, s));
  }
  EXPECT_EQ(calls(shuffled, rows), plain);  // scores bit for bit
  CheckOptions options;
  options.threads = 1;
  EXPECT_EQ(calls(network, table, options), plain);
  options.threads = 5;
  EXPECT_EQ(calls(network, table, options), plain);
}

TEST(CalibrationLaws, AShiftByWholeDaysDoesNotMatter) {
  const Network& network = support::healthy_year().network;
  const RainTable table = two_changes();
  const StepAxis& axis = table.axis();
  const auto plain = calls(network, table);
  for (const int days : {1, 45, -400}) {
    const StepAxis shifted(axis.end(0) + std::chrono::hours(24 * days), axis.step(), axis.count());
    RainTable moved(shifted, network.size());
    for (std::size_t g = 0; g < network.size(); ++g)
      for (std::size_t i = 0; i < axis.count(); ++i) moved.set(g, i, table.depth_mm(g, i));
    EXPECT_EQ(calls(network, moved), plain) << days;
  }
}

TEST(CalibrationLaws, AUnitDoesNotMatter) {
  // All depths and buckets times 1.27: the fixed depths of the checks stay, so scores move a
  // little.
  Network network = support::healthy_year().network;
  RainTable table = two_changes();
  const auto plain = calls(network, table);
  for (Gauge& gauge : network.gauges) gauge.bucket_mm *= 1.27;
  for (std::size_t g = 0; g < network.size(); ++g)
    for (std::size_t i = 0; i < table.step_count(); ++i)
      table.set(g, i, 1.27F * table.depth_mm(g, i));
  const auto scaled = calls(network, table);
  ASSERT_EQ(scaled.size(), plain.size());
  for (std::size_t i = 0; i < plain.size(); ++i) {
    EXPECT_EQ(std::get<0>(scaled[i]), std::get<0>(plain[i]));
    EXPECT_EQ(std::get<1>(scaled[i]), std::get<1>(plain[i]));
  }
}

}  // namespace
}  // namespace gaugeloom
