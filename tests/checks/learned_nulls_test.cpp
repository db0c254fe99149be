#include "gaugeloom/checks/learned_nulls.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

using support::checked_healthy;
using support::day_step;
using support::healthy_network;

RainRecord with_block(std::size_t gauge, std::size_t first_day, std::size_t last_day) {
  RainRecord record;
  record.depths = healthy_network().table;
  for (std::size_t i = day_step(first_day); i < day_step(last_day); ++i) {
    record.depths.set(gauge, i, 0);
  }
  return record;
}

std::vector<std::string> ids(const Network& network, const std::vector<Finding>& findings) {
  std::vector<std::string> all;
  for (const Finding& f : findings) all.push_back(finding_id(network.gauges[f.gauge].id, f));
  return all;
}

TEST(LearnedNulls, FrozenGiveTheSameFindingsAgain) {
  const Network& network = healthy_network().network;
  const RainRecord record = with_block(4, 20, 50);
  const CheckResult learned = check_network(network, record);
  ASSERT_FALSE(learned.findings.empty());
  const CheckResult again = check_with_frozen_nulls(network, record, learned.nulls);
  EXPECT_EQ(ids(network, learned.findings), ids(network, again.findings));
}

TEST(LearnedNulls, StayAsTheyWereGiven) {
  const Network& network = healthy_network().network;
  const LearnedNulls& nulls = checked_healthy().nulls;
  const CheckResult result = check_with_frozen_nulls(network, with_block(4, 20, 50), nulls);
  EXPECT_EQ(result.nulls.sites.ratio, nulls.sites.ratio);
  ASSERT_EQ(result.nulls.thresholds.size(), nulls.thresholds.size());
  for (std::size_t i = 0; i < nulls.thresholds.size(); ++i) {
    EXPECT_EQ(result.nulls.thresholds[i].provisional, nulls.thresholds[i].provisional);
    EXPECT_EQ(result.nulls.thresholds[i].confirmed, nulls.thresholds[i].confirmed);
    EXPECT_EQ(result.nulls.thresholds[i].scales, nulls.thresholds[i].scales);
  }
}

TEST(LearnedNulls, FindABlockInARecordTooShortToLearnFrom) {
  const RainRecord whole = with_block(4, 20, 50);
  RainRecord part;
  part.depths = slice(whole.depths, day_step(10), day_step(40));
  const auto result =
      check_with_frozen_nulls(healthy_network().network, part, checked_healthy().nulls);
  EXPECT_FALSE(support::findings_of(result, 4, FindingKind::blocked).empty());
}

TEST(LearnedNulls, HasNoThresholdOfACheckThatLearnsNone) {
  const LearnedNulls& nulls = checked_healthy().nulls;
  EXPECT_NE(nulls.threshold(FindingKind::blocked), nullptr);
  EXPECT_EQ(nulls.threshold(FindingKind::impossible_rate), nullptr);
}

TEST(LearnedNulls, OfAnotherNetworkAreRefused) {
  LearnedNulls nulls = checked_healthy().nulls;
  nulls.sites = SiteRatios(3);
  EXPECT_THROW(check_with_frozen_nulls(healthy_network().network, with_block(4, 20, 50), nulls),
               Error);
}

}  // namespace
}  // namespace gaugeloom
