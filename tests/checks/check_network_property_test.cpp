#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <optional>
#include <utility>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/null_values.hpp"
#include "gaugeloom/core/error.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

// A block, an hour late, a phantom and some gaps.
RainTable faulty() {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(30); i < support::day_step(50); ++i) table.set(12, i, 0);
  for (std::size_t i = support::day_step(90) - 1; i > support::day_step(20); --i) {
    table.set(5, i, table.depth_mm(5, i - 4));
  }
  for (std::size_t i = 3000; i < 3010; ++i) table.set(20, i, 150);
  for (std::size_t i = 1000; i < 2500; ++i) table.set_missing(8, i);
  return table;
}

void expect_same(const Finding& a, const Finding& b) {
  EXPECT_EQ(a.kind, b.kind);
  EXPECT_EQ(a.tier, b.tier);
  EXPECT_EQ(a.from, b.from);
  EXPECT_EQ(a.to, b.to);
  EXPECT_EQ(a.called, b.called);
  EXPECT_EQ(a.score, b.score);  // bit for bit
  EXPECT_EQ(a.reason, b.reason);
}

TEST(CheckNetwork, DoesNotDependOnTheOrderOfTheGauges) {
  const RainTable table = faulty();
  const CheckResult plain = support::checked(table);
  const Network& network = support::healthy_network().network;
  const std::size_t gauges = network.size();
  Network shuffled;
  RainRecord record;
  record.depths = RainTable(table.axis(), gauges);
  std::vector<std::size_t> row_of(gauges);
  for (std::size_t i = 0; i < gauges; ++i) {
    const std::size_t from = (i * 7 + 3) % gauges;  // 7 and 30 have no common divisor
    row_of[from] = i;
    shuffled.gauges.push_back(network.gauges[from]);
    for (std::size_t s = 0; s < table.step_count(); ++s) {
      if (table.is_measured(from, s)) record.depths.set(i, s, table.depth_mm(from, s));
    }
  }
  const CheckResult mixed = check_network(shuffled, record);
  ASSERT_EQ(mixed.findings.size(), plain.findings.size());
  ASSERT_FALSE(plain.findings.empty());
  for (std::size_t g = 0; g < gauges; ++g) {
    for (int k = 0; k <= static_cast<int>(FindingKind::not_testable); ++k) {
      const auto a = support::findings_of(plain, g, static_cast<FindingKind>(k));
      const auto b = support::findings_of(mixed, row_of[g], static_cast<FindingKind>(k));
      ASSERT_EQ(a.size(), b.size());
      for (std::size_t i = 0; i < a.size(); ++i) expect_same(a[i], b[i]);
    }
  }
}

// The network and a record of it, with a gauge beyond the reach of every neighbourhood: it can
// neither speak nor be spoken for.
std::pair<Network, RainRecord> with_far_gauge(const RainTable& table) {
  Network network = support::healthy_network().network;
  const std::size_t gauges = network.size();
  Gauge far = network.gauges.front();
  far.id = "FAR";
  far.position = {far.position.x_m - 600e3, far.position.y_m + 200e3};
  network.gauges.push_back(far);
  RainRecord record;
  record.depths = RainTable(table.axis(), gauges + 1);
  for (std::size_t g = 0; g <= gauges; ++g)
    for (std::size_t s = 0; s < table.step_count(); ++s)
      if (g == gauges || table.is_measured(g, s))
        record.depths.set(g, s, g == gauges ? 3.0F : table.depth_mm(g, s));
  return {network, record};
}

// The same findings, but for those of one gauge of `with`.
void expect_same_but_for(std::size_t gauge, const CheckResult& with, const CheckResult& plain) {
  std::vector<Finding> others;
  for (const Finding& f : with.findings)
    if (f.gauge != gauge) others.push_back(f);
  ASSERT_EQ(others.size(), plain.findings.size());
  ASSERT_FALSE(others.empty());
  for (std::size_t i = 0; i < others.size(); ++i) {
    EXPECT_EQ(others[i].gauge, plain.findings[i].gauge);
    expect_same(others[i], plain.findings[i]);
  }
}

TEST(CheckNetwork, DoesNotMindAGaugeFarAway) {
  const RainTable table = faulty();
  const auto [network, record] = with_far_gauge(table);
  expect_same_but_for(network.size() - 1, check_network(network, record), support::checked(table));
}

// With what was learned without it: the new gauge is taken for one like any other.
TEST(CheckNetwork, DoesNotMindANewGaugeFarAwayWhenTheNullsAreFrozen) {
  const RainTable table = faulty();
  const Network& network = support::healthy_network().network;
  const std::chrono::seconds step = table.axis().step();
  const LearnedNulls& nulls = support::checked_healthy().nulls;
  RainRecord record;
  record.depths = table;
  const CheckResult plain = check_with_frozen_nulls(network, record, nulls);
  const auto [wider, wider_record] = with_far_gauge(table);
  const MatchedNulls matched = matched_nulls(null_values(nulls, network, step), wider, step);
  EXPECT_EQ(matched.unknown, 1U);
  expect_same_but_for(network.size(), check_with_frozen_nulls(wider, wider_record, matched.nulls),
                      plain);
}

TEST(CheckNetwork, DoesNotDependOnTheDay) {
  const RainTable table = faulty();
  const CheckResult plain = support::checked(table);
  ASSERT_FALSE(plain.findings.empty());
  const StepAxis& axis = table.axis();
  for (const int days : {-3, 11}) {
    SCOPED_TRACE(days);
    const auto later = std::chrono::hours(24 * days);
    const auto values = table.values();
    const CheckResult moved = support::checked(
        RainTable(StepAxis(axis.end(0) + later, axis.step(), axis.count()), table.gauge_count(),
                  std::vector<float>(values.begin(), values.end())));
    ASSERT_EQ(moved.findings.size(), plain.findings.size());
    for (std::size_t i = 0; i < moved.findings.size(); ++i) {
      const Finding& a = moved.findings[i];
      const Finding& b = plain.findings[i];
      EXPECT_EQ(a.gauge, b.gauge);
      EXPECT_EQ(a.kind, b.kind);
      EXPECT_EQ(a.tier, b.tier);
      EXPECT_EQ(a.from, b.from + later);
      EXPECT_EQ(a.to, b.to ? std::optional(*b.to + later) : std::nullopt);
      EXPECT_EQ(a.called, b.called + later);
      EXPECT_EQ(a.score, b.score);
    }
  }
}

TEST(CheckNetwork, DoesNotDependOnTheNumberOfThreads) {
  CheckOptions one;
  one.threads = 1;
  CheckOptions seven;
  seven.threads = 7;
  const RainTable table = faulty();
  const CheckResult a = support::checked(table, one);
  const CheckResult b = support::checked(table, seven);
  ASSERT_EQ(a.findings.size(), b.findings.size());
  for (std::size_t i = 0; i < a.findings.size(); ++i) expect_same(a.findings[i], b.findings[i]);
  EXPECT_EQ(a.quality.values, b.quality.values);
}

TEST(CheckNetwork, IsMissingExactlyWhereNothingIsMeasured) {
  const RainTable table = faulty();
  const CheckResult result = support::checked(table);
  for (std::size_t g = 0; g < table.gauge_count(); ++g) {
    for (std::size_t i = 0; i < table.step_count(); ++i) {
      ASSERT_EQ(result.quality.at(g, i) == Quality::missing, !table.is_measured(g, i));
    }
  }
}

TEST(CheckNetwork, FindsNothingOnSoundGauges) {
  const CheckResult& result = support::checked_healthy();
  EXPECT_TRUE(result.findings.empty());
  EXPECT_GT(result.gauge_years, 7);  // 30 gauges x 90 days
}

TEST(CheckNetwork, KeepsAWorseQualityOfTheInput) {
  RainRecord record;
  record.depths = support::healthy_network().table;
  record.quality = QualityTable(30, record.depths.step_count(), Quality::good);
  record.quality.at(4, 77) = Quality::poor;
  const CheckResult result = check_network(support::healthy_network().network, record);
  EXPECT_EQ(result.quality.at(4, 77), Quality::poor);
  EXPECT_EQ(result.quality.at(4, 78), Quality::good);
}

TEST(CheckNetwork, SurvivesNastyNetworks) {
  Network network;
  for (const char* id : {"A", "B", "C", "D"}) {
    Gauge gauge;  // all on one spot
    gauge.id = id;
    network.gauges.push_back(gauge);
  }
  RainRecord record;
  record.depths =
      RainTable(StepAxis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), 50), 4);
  EXPECT_TRUE(check_network(network, record).findings.empty());  // all missing
  for (std::size_t g = 0; g < 4; ++g) {
    for (std::size_t i = 0; i < 50; ++i) record.depths.set(g, i, 0);
  }
  EXPECT_TRUE(check_network(network, record).findings.empty());  // all dry
  record.depths = RainTable(record.depths.axis(), 3);
  EXPECT_THROW(check_network(network, record), Error);
}

TEST(CheckNetwork, RefusesOptionsOutOfRange) {
  CheckOptions options;
  options.confirmed_calls_per_gauge_year = 1;
  EXPECT_TRUE(options.problem().has_value());
  EXPECT_THROW(support::checked(support::healthy_network().table, options), Error);
}

}  // namespace
}  // namespace gaugeloom
