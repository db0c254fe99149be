#include "gaugeloom/rehearse/injection.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

const Network& network() { return support::healthy_network().network; }
const RainTable& table() { return support::healthy_network().table; }
const Neighbourhoods& around() {
  static const Neighbourhoods all = neighbourhoods(network());
  return all;
}

std::size_t variant_of(InjectedKind kind) {
  const auto all = fault_variants();
  for (std::size_t i = 0; i < all.size(); ++i)
    if (all[i].kind == kind) return i;
  ADD_FAILURE();
  return 0;
}

bool equal(float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); }

TEST(Injection, ChangesOnlyTheSeriesAndTheTimeOfItsFault) {
  for (std::size_t v = 0; v < fault_variants().size(); ++v) {
    SCOPED_TRACE(std::string(word(fault_variants()[v].kind)) + fault_variants()[v].size_text());
    Random random(v + 1);
    const auto fault = draw_fault(around(), table(), v, 7, random);
    ASSERT_TRUE(fault);
    RainTable faulty = table();
    inject(faulty, network(), *fault);
    std::size_t changed = 0;
    for (std::size_t g = 0; g < network().size(); ++g) {
      for (std::size_t s = 0; s < table().step_count(); ++s) {
        if (equal(faulty.depth_mm(g, s), table().depth_mm(g, s))) continue;
        ++changed;
        ASSERT_TRUE(g == fault->gauge || g == fault->other);
        ASSERT_GE(s, fault->over.first);
        ASSERT_LT(s, fault->over.last + 2);  // a release lasts half an hour
      }
    }
    EXPECT_GT(changed, 0U);
  }
}

TEST(Injection, DrawsItsTimeByTheCalendar) {
  // Full blocks of 3 to 60 days in a record of 90, drawn 400 times: the middle of the free room is
  // the mean beginning.
  Random random("Injection.DrawsItsTimeByTheCalendar");
  const std::size_t variant = variant_of(InjectedKind::full_block);
  double first = 0;
  double days = 0;
  for (int i = 0; i < 400; ++i) {
    const auto fault = draw_fault(around(), table(), variant, 3, random);
    ASSERT_TRUE(fault);
    const auto length = static_cast<double>(fault->over.last - fault->over.first);
    const double room = static_cast<double>(table().step_count()) - length;
    first += static_cast<double>(fault->over.first) / room / 400;
    days += length / 96 / 400;
    EXPECT_GE(length, 3 * 96 - 1);
    EXPECT_LE(length, 0.6 * 90 * 96 + 1);
  }
  EXPECT_NEAR(first, 0.5, 0.06);  // 4 standard errors of a mean of 400 uniform numbers
  EXPECT_GT(days, 25);
}

TEST(Injection, PoursOnlyInDryWeather) {
  const std::size_t variant = variant_of(InjectedKind::phantom_tips);
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    Random random(seed);
    const auto fault = draw_fault(around(), table(), variant, 5, random);
    ASSERT_TRUE(fault);
    for (std::size_t s = fault->over.first; s < fault->over.last; ++s)
      EXPECT_EQ(table().depth_mm(5, s), 0);
  }
}

TEST(Injection, MissesOnlyShowersThatNeighboursMissedToo) {
  const std::size_t variant = variant_of(InjectedKind::missed_shower);
  Random random("Injection.MissesOnlyShowers");
  const auto fault = draw_fault(around(), table(), variant, 5, random);
  ASSERT_TRUE(fault);
  std::size_t dry = 0;
  for (std::size_t i = 0; i < around().options.used; ++i) {
    const std::size_t neighbour = around().of[5][i].gauge;
    if (window_sum(table(), neighbour, fault->over.first, fault->over.last) <= 0) ++dry;
  }
  EXPECT_GE(dry, around().options.used / 4);
}

TEST(Injection, GivesUpWhereTheGaugeIsSilent) {
  RainTable silent = table();
  for (std::size_t s = 0; s < silent.step_count(); ++s) silent.set_missing(5, s);
  for (std::size_t v = 0; v < fault_variants().size(); ++v) {
    Random random(v);
    EXPECT_FALSE(draw_fault(around(), silent, v, 5, random));
  }
}

TEST(Injection, LeavesShiftsOfLessThanAStepOut) {
  const RainTable hours = sums(table(), 4);
  for (std::size_t v = 0; v < fault_variants().size(); ++v) {
    const FaultVariant& variant = fault_variants()[v];
    if (variant.kind != InjectedKind::clock_shift) continue;
    Random random(v);
    EXPECT_EQ(draw_fault(around(), hours, v, 5, random).has_value(), std::abs(variant.size) >= 60);
  }
}

TEST(FarGroups, HoldEveryGaugeOnceAndKeepThemApart) {
  Random random("FarGroups");
  const auto groups = far_groups(around(), random);
  std::set<std::size_t> seen;
  for (const auto& group : groups) {
    for (const std::size_t gauge : group) EXPECT_TRUE(seen.insert(gauge).second);
    for (std::size_t listener = 0; listener < network().size(); ++listener) {
      std::size_t heard = 0;
      for (std::size_t i = 0; i < around().options.used; ++i)
        for (const std::size_t gauge : group)
          heard += around().of[listener][i].gauge == gauge ? 1U : 0U;
      const bool member = std::find(group.begin(), group.end(), listener) != group.end();
      EXPECT_LE(heard, member ? 0U : 1U);
    }
  }
  EXPECT_EQ(seen.size(), network().size());
}

}  // namespace
}  // namespace gaugeloom
