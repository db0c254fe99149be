#include "gaugeloom/checks/null_values.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

using support::checked_healthy;
using support::healthy_network;

constexpr std::chrono::seconds kStep = std::chrono::minutes(15);

NullValues learned() {
  return null_values(checked_healthy().nulls, healthy_network().network, kStep);
}

void expect_same(const NullValues& a, const NullValues& b) {
  EXPECT_EQ(a.gauges, b.gauges);
  ASSERT_EQ(a.laws.size(), b.laws.size());
  for (const auto& [name, law] : a.laws) {
    SCOPED_TRACE(name);
    EXPECT_EQ(law.lists, b.laws.at(name).lists);  // bit for bit
    for (const auto& [list, of] : law.of_gauges)
      EXPECT_EQ(of.values, b.laws.at(name).of_gauges.at(list).values);
  }
  ASSERT_EQ(a.thresholds.size(), b.thresholds.size());
  for (std::size_t i = 0; i < a.thresholds.size(); ++i) {
    EXPECT_EQ(a.thresholds[i].kind, b.thresholds[i].kind);
    EXPECT_EQ(a.thresholds[i].provisional, b.thresholds[i].provisional);
    EXPECT_EQ(a.thresholds[i].confirmed, b.thresholds[i].confirmed);
    EXPECT_EQ(a.thresholds[i].tail_scale, b.thresholds[i].tail_scale);
    EXPECT_EQ(a.thresholds[i].peaks, b.thresholds[i].peaks);
    EXPECT_EQ(a.thresholds[i].scales, b.thresholds[i].scales);
  }
}

TEST(NullValues, ComeBackAsTheyWere) {
  const MatchedNulls matched = matched_nulls(learned(), healthy_network().network, kStep);
  EXPECT_EQ(matched.unknown, 0U);
  EXPECT_EQ(matched.left_out, 0U);
  expect_same(null_values(matched.nulls, healthy_network().network, kStep), learned());
}

TEST(NullValues, MakeTheSameFindings) {
  RainRecord record;
  record.depths = healthy_network().table;
  for (std::size_t i = support::day_step(20); i < support::day_step(50); ++i)
    record.depths.set(4, i, 0);
  const Network& network = healthy_network().network;
  const auto direct = check_with_frozen_nulls(network, record, checked_healthy().nulls);
  const auto back =
      check_with_frozen_nulls(network, record, matched_nulls(learned(), network, kStep).nulls);
  ASSERT_FALSE(direct.findings.empty());
  ASSERT_EQ(back.findings.size(), direct.findings.size());
  for (std::size_t i = 0; i < back.findings.size(); ++i) {
    EXPECT_EQ(back.findings[i].score, direct.findings[i].score);  // bit for bit
    EXPECT_EQ(back.findings[i].reason, direct.findings[i].reason);
  }
  EXPECT_EQ(back.quality.values, direct.quality.values);
}

TEST(NullValues, FindTheirGaugesByIdInAnyOrder) {
  Network other = healthy_network().network;
  std::reverse(other.gauges.begin(), other.gauges.end());
  other.gauges[0].id = "NEW";
  const MatchedNulls matched = matched_nulls(learned(), other, kStep);
  EXPECT_EQ(matched.unknown, 1U);
  EXPECT_EQ(matched.left_out, 1U);
  const LearnedNulls& nulls = checked_healthy().nulls;
  const std::size_t count = other.size();
  EXPECT_EQ(matched.nulls.sites.ratio[0], 1);
  EXPECT_EQ(matched.nulls.miss.gauge_factor(0), 1);
  for (std::size_t i = 1; i < count; ++i) {
    EXPECT_EQ(matched.nulls.sites.ratio[i], nulls.sites.ratio[count - 1 - i]);
    EXPECT_EQ(matched.nulls.miss.gauge_factor(i), nulls.miss.gauge_factor(count - 1 - i));
  }
}

template <typename Change>
void expect_refusal(Change change) {
  NullValues values = learned();
  change(values);
  EXPECT_THROW(matched_nulls(values, healthy_network().network, kStep), Error);
}

TEST(NullValues, AreRefusedWhereTheyDoNotFit) {
  EXPECT_THROW(matched_nulls(learned(), healthy_network().network, std::chrono::hours(1)), Error);
  expect_refusal([](NullValues& v) { v.gauges[3] = v.gauges[2]; });
  expect_refusal([](NullValues& v) { v.gauges.pop_back(); });
  expect_refusal([](NullValues& v) { v.laws.erase("misses"); });
  expect_refusal([](NullValues& v) { v.laws["misses"].lists["probability"][5] = 0; });
  expect_refusal([](NullValues& v) { v.laws["misses"].lists["dry"].pop_back(); });
  expect_refusal([](NullValues& v) { v.laws["hours"].lists.clear(); });
  expect_refusal([](NullValues& v) { v.laws["site_ratios"].of_gauges["ratio"].values[0] = -1; });
  expect_refusal([](NullValues& v) { v.thresholds[0].provisional = 0; });
  expect_refusal([](NullValues& v) { v.thresholds[0].confirmed = -1; });
  expect_refusal([](NullValues& v) { v.thresholds.push_back(v.thresholds[0]); });
  expect_refusal([](NullValues& v) {
    for (std::string& id : v.gauges) id += "x";
  });
}

TEST(NullValues, AreRefusedByTheCheckThatLacksAThreshold) {
  const Network& network = healthy_network().network;
  RainRecord record;
  record.depths = healthy_network().table;
  NullValues values = learned();
  values.thresholds.erase(values.thresholds.begin());
  EXPECT_THROW(
      check_with_frozen_nulls(network, record, matched_nulls(values, network, kStep).nulls), Error);
  values = learned();
  for (LearnedThreshold& t : values.thresholds)
    if (t.kind == FindingKind::stuck) t.scales.pop_back();
  EXPECT_THROW(
      check_with_frozen_nulls(network, record, matched_nulls(values, network, kStep).nulls), Error);
}

}  // namespace
}  // namespace gaugeloom
