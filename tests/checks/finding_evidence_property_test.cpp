#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "support/check_cases.hpp"
#include "support/demo_basin.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

struct Case {
  const Network* network = nullptr;
  RainRecord record;
};

CheckResult with_evidence(const Case& c, int threads = 0) {
  CheckOptions options;
  options.keep_evidence = true;
  options.threads = threads;
  return check_network(*c.network, c.record, options);
}

bool is_of_a_change(const Finding& f, const ScoreGrowth& growth) {
  const bool gain = f.kind == FindingKind::reads_low || f.kind == FindingKind::reads_high;
  return f.kind == FindingKind::calibration_step || f.kind == FindingKind::calibration_drift ||
         (gain && growth.points.back().score == f.score);
}

double highest(const std::vector<ScorePoint>& points) {
  return std::ranges::max_element(points, {}, &ScorePoint::score)->score;
}

// Checks that call by their level, and by nothing that another check told earlier.
bool calls_by_its_level(FindingKind kind) {
  static const std::set kinds = {FindingKind::blocked,           FindingKind::partly_blocked,
                                 FindingKind::phantom_rain,      FindingKind::calibration_step,
                                 FindingKind::calibration_drift, FindingKind::clock_offset,
                                 FindingKind::double_count,      FindingKind::stuck};
  return kinds.contains(kind);
}

void expect_grown(const Finding& f, const FindingEvidence& e) {
  const auto& points = e.score.points;
  if (f.kind == FindingKind::not_testable) {
    EXPECT_TRUE(points.empty());
    return;
  }
  ASSERT_FALSE(points.empty());
  EXPECT_LE(points.size(), kMostScorePoints);
  EXPECT_TRUE(std::ranges::is_sorted(points, {}, &ScorePoint::time));
  EXPECT_GE(points.front().time, e.begin);
  EXPECT_LE(points.back().time, e.begin + e.bar * static_cast<long>(e.bars()));
  EXPECT_EQ(is_of_a_change(f, e.score) ? points.back().score : highest(points), f.score);
}

// Whether the latest point until the call is at the level, or it was told by another check.
bool had_passed(const Finding& f, const ScoreGrowth& growth) {
  const auto after = std::ranges::upper_bound(growth.points, f.called, {}, &ScorePoint::time);
  return after != growth.points.begin() && std::prev(after)->score >= *growth.provisional;
}

// The record's own values of the steps in its bars.
struct Recorded {
  std::vector<double> sums_mm;
  std::vector<double> share;
  double in_all_mm = 0;
};

Recorded recorded(const RainTable& table, std::size_t gauge, const FindingEvidence& e) {
  Recorded r{std::vector<double>(e.bars(), 0.0), std::vector<double>(e.bars(), 0.0)};
  for (std::size_t i = 0; i < table.step_count(); ++i) {
    const Instant begin = table.axis().begin(i);
    if (begin < e.begin || !table.is_measured(gauge, i)) continue;
    const auto bar = static_cast<std::size_t>((begin - e.begin) / e.bar);
    if (bar >= e.bars()) break;
    r.sums_mm[bar] += static_cast<double>(table.depth_mm(gauge, i));
    r.in_all_mm += static_cast<double>(table.depth_mm(gauge, i));
    r.share[bar] += 1;
  }
  const double steps =
      static_cast<double>(e.bar.count()) / static_cast<double>(table.axis().step().count());
  for (double& share : r.share) share /= steps;
  return r;
}

void expect_record(const RainTable& table, std::size_t gauge, const FindingEvidence& e) {
  const Recorded r = recorded(table, gauge, e);
  double shown_mm = 0;
  for (std::size_t bar = 0; bar < e.bars(); ++bar) {
    EXPECT_EQ(e.own_share[bar], r.share[bar]) << bar;
    EXPECT_EQ(std::isnan(e.own_mm[bar]), r.share[bar] == 0) << bar;
    if (r.share[bar] == 0) continue;
    EXPECT_EQ(e.own_mm[bar], r.sums_mm[bar]) << bar;
    shown_mm += e.own_mm[bar];
  }
  EXPECT_NEAR(shown_mm, r.in_all_mm, 1e-9 * (1 + r.in_all_mm));  // rounding of another order
}

void expect_neighbour(const RainTable& table, std::size_t n, const FindingEvidence& e) {
  const Recorded r = recorded(table, e.neighbours[n], e);
  ASSERT_EQ(e.neighbours_mm[n].size(), e.bars());
  for (std::size_t bar = 0; bar < e.bars(); ++bar) {
    const double shown_mm = e.neighbours_mm[n][bar];
    EXPECT_EQ(std::isnan(shown_mm), r.share[bar] < 2.0 / 3) << bar;
    EXPECT_TRUE(r.share[bar] < 1 || shown_mm == r.sums_mm[bar]) << bar;
    EXPECT_FALSE(shown_mm < r.sums_mm[bar]) << bar;
  }
}

// Over the finding, what may be compared is what its words say.
void expect_compared(const Finding& f, const FindingEvidence& e) {
  double own_mm = 0, expected_mm = 0;
  for (std::size_t bar = 0; bar < e.bars(); ++bar) {
    EXPECT_EQ(std::isnan(e.own_compared_mm[bar]), std::isnan(e.expected_compared_mm[bar]));
    EXPECT_TRUE(!std::isnan(e.own_compared_mm[bar]) || e.own_share[bar] < 1 ||
                e.expected_share[bar] < 1);
    const Instant begin = e.begin + e.bar * static_cast<long>(bar);
    if (begin < f.from || begin >= f.to.value_or(Instant::max())) continue;
    if (std::isnan(e.own_compared_mm[bar])) continue;
    own_mm += e.own_compared_mm[bar];
    expected_mm += e.expected_compared_mm[bar];
  }
  const bool whole_hours = f.kind == FindingKind::blocked || f.kind == FindingKind::partly_blocked;
  if (e.bar != std::chrono::hours(1) || !whole_hours) return;
  if (f.from != std::chrono::floor<std::chrono::hours>(f.from)) return;  // of equal steps
  EXPECT_NEAR(own_mm, f.observed_mm, 1e-9);
  EXPECT_NEAR(expected_mm, f.expected_mm, 1e-9);
}

void expect_laws(const Case& c, const CheckResult& result) {
  ASSERT_EQ(result.evidence.size(), result.findings.size());
  for (std::size_t i = 0; i < result.findings.size(); ++i) {
    const Finding& f = result.findings[i];
    const FindingEvidence& e = result.evidence[i];
    SCOPED_TRACE(finding_id(c.network->gauges[f.gauge].id, f));
    ASSERT_FALSE(e.empty());
    EXPECT_LE(e.bars(), kMostEvidenceBars);
    EXPECT_LE(e.neighbours.size(), kMostEvidenceNeighbours);
    EXPECT_LE(e.begin, std::max(f.from, c.record.depths.axis().begin(0)));
    expect_grown(f, e);
    expect_record(c.record.depths, f.gauge, e);
    expect_compared(f, e);
    for (std::size_t n = 0; n < e.neighbours.size(); ++n) {
      EXPECT_EQ(e.neighbours[n], f.neighbours[n]);
      expect_neighbour(c.record.depths, n, e);
    }
    for (std::size_t b = 0; b < e.bars(); ++b) {
      EXPECT_EQ(std::isnan(e.expected_mm[b]), e.expected_share[b] == 0);
      EXPECT_LE(e.expected_share[b], 1);
    }
  }
}

using Planting = std::function<void(RainTable&)>;

std::size_t dry_step(const RainTable& table) {
  for (std::size_t i = 96; i + 192 < table.step_count(); i += 96) {
    double sum = 0;
    for (std::size_t g = 0; g < table.gauge_count(); ++g)
      sum += window_sum(table, g, i - 96, i + 192);
    if (sum == 0) return i;
  }
  ADD_FAILURE() << "no dry days";
  return 96;
}

std::size_t mid_storm(const RainTable& table, std::size_t from) {
  while (window_sum(table, kGauge, from - 4, from) < 2 ||
         window_sum(table, kGauge, from, from + 4) < 2)
    ++from;
  return from;
}

void scale(RainTable& table, std::size_t first, std::size_t last, float factor) {
  for (std::size_t i = first; i < last; ++i)
    table.set(kGauge, i, factor * table.depth_mm(kGauge, i));
}

// 15-minute steps of 90 days, but for the calibrations: hours of a year.
std::map<FindingKind, Planting> plantings() {
  using support::day_step;
  std::map<FindingKind, Planting> by;
  by[FindingKind::blocked] = [](RainTable& t) { scale(t, day_step(30), day_step(60), 0); };
  by[FindingKind::partly_blocked] = [](RainTable& t) {
    double water = 0;
    for (std::size_t i = day_step(30); i < day_step(60); ++i) {
      water += 0.12 * t.depth_mm(kGauge, i);  // the rest spills
      const bool tip = water >= 0.2;
      if (tip) water -= 0.2;
      t.set(kGauge, i, tip ? 0.2F : 0.0F);
    }
  };
  by[FindingKind::release_burst] = [](RainTable& t) {
    scale(t, day_step(30), day_step(60), 0);
    for (std::size_t i = day_step(60); i < day_step(60) + 3; ++i) t.set(kGauge, i, 10);
  };
  by[FindingKind::phantom_rain] = [](RainTable& t) {
    const std::size_t first = dry_step(t);
    for (std::size_t i = first; i < first + 12; ++i)
      t.set(kGauge, i, 1 + static_cast<float>(i % 4));
  };
  by[FindingKind::reads_low] = [](RainTable& t) { scale(t, day_step(45), day_step(90), 0.35F); };
  by[FindingKind::reads_high] = [](RainTable& t) {
    const auto& truth = support::healthy_network().true_mm;
    double water = 0;
    for (std::size_t i = day_step(45); i < day_step(90); ++i) {
      water += 2 * truth[kGauge * t.step_count() + i];
      const auto depth = static_cast<float>(0.2 * std::floor(water / 0.2 + 1e-6));
      water -= depth;
      t.set(kGauge, i, depth);
    }
  };
  by[FindingKind::calibration_step] = [](RainTable& t) {
    t = support::changed_year(kGauge, -0.17, 150);
  };
  by[FindingKind::calibration_drift] = [](RainTable& t) {
    t = support::changed_year(kGauge, -0.35, 60, 305);
  };
  by[FindingKind::clock_offset] = [](RainTable& t) {
    for (std::size_t i = day_step(90) - 1; i >= day_step(40); --i)
      t.set(kGauge, i, t.depth_mm(kGauge, i - 4));
  };
  by[FindingKind::double_count] = [](RainTable& t) { scale(t, day_step(40), day_step(80), 2); };
  by[FindingKind::counter_dead] = [](RainTable& t) {
    const std::size_t first = mid_storm(t, day_step(30));
    scale(t, first, mid_storm(t, first + 8 * 96), 0);
  };
  by[FindingKind::impossible_rate] = [](RainTable& t) { t.set(kGauge, 5000, 400); };
  by[FindingKind::stuck] = [](RainTable& t) {
    for (std::size_t i = 5000; i < 5040; ++i) t.set(kGauge, i, 0.6F);
  };
  by[FindingKind::not_testable] = [](RainTable& t) {
    for (std::size_t g = 0; g < t.gauge_count(); ++g)
      for (std::size_t i = day_step(40); i < day_step(55) && g != kGauge; ++i) t.set_missing(g, i);
  };
  return by;
}

Case planted(const Planting& planting) {
  Case c{&support::healthy_network().network, {}};
  c.record.depths = support::healthy_network().table;
  planting(c.record.depths);
  if (c.record.depths.axis().step() == std::chrono::hours(1))
    c.network = &support::healthy_year().network;
  return c;
}

TEST(FindingEvidence, HoldsItsLawsForAFaultOfEveryKind) {
  const auto all = plantings();
  ASSERT_EQ(all.size(), static_cast<std::size_t>(FindingKind::not_testable) + 1);
  for (const auto& [kind, planting] : all) {
    SCOPED_TRACE(word(kind));
    const Case c = planted(planting);
    const CheckResult result = with_evidence(c);
    expect_laws(c, result);
    bool found = false;
    for (std::size_t i = 0; i < result.findings.size(); ++i) {
      const Finding& f = result.findings[i];
      if (f.gauge != kGauge || f.kind != kind) continue;
      found = true;
      EXPECT_TRUE(!calls_by_its_level(kind) || had_passed(f, result.evidence[i].score));
    }
    EXPECT_TRUE(found);
  }
}

// Faults of random gauges and times over one another.
Case entangled(std::string_view name) {
  Random random(name);
  Case c{&support::healthy_network().network, {}};
  RainTable& table = c.record.depths = support::healthy_network().table;
  for (int fault = 0; fault < 6; ++fault) {
    const std::size_t gauge = random.below(table.gauge_count());
    const std::size_t first = support::day_step(random.below(80));
    const std::size_t last =
        std::min(table.step_count(), first + support::day_step(1 + random.below(40)));
    const std::size_t kind = random.below(5);
    for (std::size_t i = first; i < last; ++i) {
      if (!table.is_measured(gauge, i)) continue;
      const float depth = table.depth_mm(gauge, i);
      if (kind == 0) table.set(gauge, i, 0);
      if (kind == 1) table.set(gauge, i, std::min(depth, 0.2F));
      if (kind == 2) table.set(gauge, i, 2 * depth);
      if (kind == 3 && random.chance(0.1)) table.set_missing(gauge, i);
      if (kind == 4) table.set(gauge, i, 0.3F * depth);
    }
  }
  return c;
}

TEST(FindingEvidence, HoldsItsLawsWhereFaultsOverlap) {
  std::size_t findings = 0;
  std::size_t told_earlier = 0;  // than their own score was at its level
  for (const char* name : {"one", "two", "three", "four", "five", "six"}) {
    SCOPED_TRACE(name);
    const Case c = entangled(name);
    const CheckResult result = with_evidence(c);
    expect_laws(c, result);
    for (std::size_t i = 0; i < result.findings.size(); ++i) {
      if (!calls_by_its_level(result.findings[i].kind)) continue;
      ++findings;
      if (!had_passed(result.findings[i], result.evidence[i].score)) ++told_earlier;
    }
  }
  EXPECT_GT(findings, 10U);
  EXPECT_LT(told_earlier, findings / 4);
}

TEST(FindingEvidence, HoldsItsLawsOnTheDemo) {
  const support::DemoBasin demo = support::demo_basin();
  Case c{&demo.network, {}};
  c.record.depths = demo.rain;
  const CheckResult result = with_evidence(c);
  EXPECT_GT(result.findings.size(), 4U);
  expect_laws(c, result);
}

void expect_same_bars(const std::vector<double>& a, const std::vector<double>& b) {
  ASSERT_EQ(a.size(), b.size());
  for (std::size_t i = 0; i < a.size(); ++i)
    EXPECT_TRUE(a[i] == b[i] || (std::isnan(a[i]) && std::isnan(b[i]))) << i;
}

void expect_same(const FindingEvidence& a, const FindingEvidence& b) {
  EXPECT_EQ(a.begin, b.begin);
  EXPECT_EQ(a.bar, b.bar);
  expect_same_bars(a.own_mm, b.own_mm);
  expect_same_bars(a.own_share, b.own_share);
  expect_same_bars(a.expected_mm, b.expected_mm);
  expect_same_bars(a.own_compared_mm, b.own_compared_mm);
  expect_same_bars(a.expected_compared_mm, b.expected_compared_mm);
  ASSERT_EQ(a.neighbours_mm.size(), b.neighbours_mm.size());
  for (std::size_t n = 0; n < a.neighbours_mm.size(); ++n)
    expect_same_bars(a.neighbours_mm[n], b.neighbours_mm[n]);
  EXPECT_EQ(a.score.points, b.score.points);
  EXPECT_EQ(a.score.provisional, b.score.provisional);
  EXPECT_EQ(a.score.confirmed, b.score.confirmed);
}

TEST(FindingEvidence, DoesNotDependOnTheNumberOfThreads) {
  const Case c = entangled("two");
  const CheckResult one = with_evidence(c, 1);
  const CheckResult three = with_evidence(c, 3);
  ASSERT_FALSE(one.evidence.empty());
  ASSERT_EQ(one.evidence.size(), three.evidence.size());
  for (std::size_t i = 0; i < one.evidence.size(); ++i)
    expect_same(one.evidence[i], three.evidence[i]);
}

TEST(FindingEvidence, DoesNotDependOnTheOrderOfTheGauges) {
  const Case c = entangled("three");
  const RainTable& table = c.record.depths;
  Network turned;
  turned.gauges.assign(c.network->gauges.rbegin(), c.network->gauges.rend());
  Case back{&turned, {}};
  const std::size_t gauges = table.gauge_count();
  back.record.depths = RainTable(table.axis(), gauges);
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < table.step_count(); ++s)
      if (table.is_measured(g, s)) back.record.depths.set(gauges - 1 - g, s, table.depth_mm(g, s));
  const CheckResult plain = with_evidence(c);
  const CheckResult mixed = with_evidence(back);
  ASSERT_EQ(plain.findings.size(), mixed.findings.size());
  ASSERT_FALSE(plain.findings.empty());
  for (std::size_t i = 0; i < plain.findings.size(); ++i) {
    const Finding& f = plain.findings[i];
    const auto same = std::ranges::find_if(mixed.findings, [&](const Finding& m) {
      return m.gauge == gauges - 1 - f.gauge && m.kind == f.kind && m.from == f.from;
    });
    ASSERT_NE(same, mixed.findings.end());
    expect_same(plain.evidence[i],
                mixed.evidence[static_cast<std::size_t>(same - mixed.findings.begin())]);
  }
}

TEST(FindingEvidence, ChangesNoFinding) {
  const Case c = entangled("four");
  const CheckResult with = with_evidence(c);
  const CheckResult without = check_network(*c.network, c.record);
  ASSERT_EQ(with.findings.size(), without.findings.size());
  ASSERT_FALSE(with.findings.empty());
  for (std::size_t i = 0; i < with.findings.size(); ++i) {
    EXPECT_EQ(with.findings[i].score, without.findings[i].score);
    EXPECT_EQ(with.findings[i].called, without.findings[i].called);
    EXPECT_EQ(with.findings[i].reason, without.findings[i].reason);
  }
}

// With hours summed to bars, nothing is lost.
TEST(FindingEvidence, IsThinnedForALongFinding) {
  Case c{&support::healthy_years().network, {}};
  c.record.depths = support::healthy_years().table;
  scale(c.record.depths, 24 * 100, c.record.depths.step_count(), 0);
  const CheckResult result = with_evidence(c);
  expect_laws(c, result);
  const auto longest = std::ranges::max_element(result.evidence, {}, &FindingEvidence::bar);
  ASSERT_NE(longest, result.evidence.end());
  EXPECT_GE(longest->bar, std::chrono::hours(24));
  EXPECT_GT(longest->bars(), kMostEvidenceBars / 2);
  EXPECT_GT(longest->score.points.size(), 100U);
}

}  // namespace
}  // namespace gaugeloom
