#include "gaugeloom/tips/clock_map.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr double kDay = 86400;
Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }
double in_s(Duration d) { return 1e-6 * static_cast<double>(d.count()); }

// Turns of a bucket: showers of steady rain every two days or so.
std::vector<double> turns(Random& random, double days) {
  std::vector<double> times;
  for (double at = 1000; at < days * kDay; at += random.exponential(2 * kDay)) {
    const double interval_s = random.uniform(15, 300);
    for (double left = random.exponential(7200); left > 0; left -= interval_s)
      times.push_back(at += interval_s * random.uniform(0.5, 1.5));
  }
  return times;
}

// What a counter writes of them: some lost, some jitter, on its own clock, in units of `unit_s`.
std::vector<TipCell> written(Random& random, const std::vector<double>& turns, double lost,
                             double unit_s, const std::function<double(double)>& ahead_s) {
  std::vector<double> stamps;
  for (const double t : turns)
    if (!random.chance(lost)) stamps.push_back(t + ahead_s(t) + random.uniform(0, 0.05));
  std::ranges::sort(stamps);
  std::vector<TipCell> cells;
  for (const double s : stamps)
    if (unit_s == 0)
      cells.push_back({at_s(s), at_s(s)});
    else
      cells.push_back(
          {at_s(unit_s * std::floor(s / unit_s)), at_s(unit_s * (std::floor(s / unit_s) + 1))});
  return cells;
}

double none(double) { return 0; }

// How far the map is from the truth at the turns of [from, to) days.
double worst_s(const ClockMap& map, const std::vector<double>& turns, double from_day,
               double to_day, const std::function<double(double)>& ahead_s) {
  double worst = 0;
  for (const double t : turns)
    if (t >= from_day * kDay && t < to_day * kDay)
      worst = std::max(worst, std::abs(in_s(map.ahead(at_s(t))) - ahead_s(t)));
  return worst;
}

struct Case {
  const char* name;
  std::function<double(double)> ahead_s;
};

TEST(ClockMap, KnowsNothingOfNoTips) {
  const ClockMap map = learn_clock_map({}, {});
  EXPECT_FALSE(map.is_known());
  EXPECT_EQ(map.ahead(at_s(5)), Duration{0});
  const std::vector<TipCell> one{{at_s(5), at_s(5)}};
  EXPECT_EQ(map.onto_second(one).front().from, at_s(5));
}

TEST(ClockMap, FindsADifferenceAndADrift) {
  for (const double unit_s : {0.0, 1.0, 60.0})
    for (const Case& each : std::vector<Case>{
             {"none", none},
             {"seconds", [](double) { return 7.0; }},
             {"an hour", [](double) { return -3600.0; }},
             {"a day", [](double) { return 86400.0; }},
             {"drift", [](double t) { return 3 + 50e-6 * t; }},
             {"slow", [](double t) { return -20e-6 * t; }},
         }) {
      SCOPED_TRACE(each.name);
      SCOPED_TRACE(unit_s);
      Random random("FindsADifferenceAndADrift");
      const auto truth = turns(random, 300);
      const auto first = written(random, truth, 0.1, 0, none);
      const auto second = written(random, truth, 0.1, unit_s, each.ahead_s);
      const ClockMap map = learn_clock_map(first, second);
      EXPECT_TRUE(map.is_known());
      EXPECT_TRUE(map.sets().empty());
      EXPECT_LT(worst_s(map, truth, 0, 300, each.ahead_s), unit_s == 60 ? 15 : 1);
    }
}

TEST(ClockMap, FollowsAClockThatWasSet) {
  for (const double by_s : {3600.0, -3600.0, 40.0, -43200.0}) {
    SCOPED_TRACE(by_s);
    const auto ahead_s = [&](double t) { return 2 + 10e-6 * t + (t < 150 * kDay ? 0 : by_s); };
    Random random("FollowsAClockThatWasSet");
    const auto truth = turns(random, 300);
    const auto first = written(random, truth, 0.1, 0, none);
    const auto second = written(random, truth, 0.1, 0, ahead_s);
    const ClockMap map = learn_clock_map(first, second);
    ASSERT_EQ(map.sets().size(), 1U);
    EXPECT_NEAR(in_s(map.sets()[0].by), by_s, 5);
    EXPECT_LE(map.sets()[0].after, at_s(150.5 * kDay));
    EXPECT_GE(map.sets()[0].before, at_s(149.5 * kDay));
    EXPECT_LT(worst_s(map, truth, 0, 149, ahead_s), 1);
    EXPECT_LT(worst_s(map, truth, 151, 300, ahead_s), 1);
  }
}

TEST(ClockMap, IsTheOtherWayRoundForCountersSwapped) {
  const auto ahead_s = [](double t) { return t < 100 * kDay ? 5.0 : -1800.0; };
  Random random("IsTheOtherWayRoundForCountersSwapped");
  const auto truth = turns(random, 200);
  const auto first = written(random, truth, 0.1, 0, none);
  const auto second = written(random, truth, 0.1, 0, ahead_s);
  const ClockMap map = learn_clock_map(first, second);
  const ClockMap back = learn_clock_map(second, first);
  for (const double day : {10.0, 50.0, 95.0, 105.0, 150.0, 199.0})
    EXPECT_NEAR(in_s(map.ahead(at_s(day * kDay))), -in_s(back.ahead(at_s(day * kDay))), 0.5);
}

TEST(ClockMap, IsNotMovedByACounterThatOnlyMakesNoise) {
  Random random("IsNotMovedByACounterThatOnlyMakesNoise");
  const auto truth = turns(random, 200);
  const auto others = turns(random, 200);
  const auto first = written(random, truth, 0, 0, none);
  auto second = written(random, truth, 0, 0, none);
  const auto noise = written(random, others, 0, 0, none);
  std::erase_if(second, [](const TipCell& cell) { return cell.from > at_s(100 * kDay); });
  for (const TipCell& cell : noise)
    if (cell.from > at_s(100 * kDay)) second.push_back(cell);
  const ClockMap map = learn_clock_map(first, second);
  EXPECT_TRUE(map.sets().empty());
  EXPECT_LT(worst_s(map, truth, 0, 200, none), 1);
}

TEST(ClockMap, NeverLetsMappedTimesFall) {
  const auto ahead_s = [](double t) { return t < 100 * kDay ? 0.0 : -7200.0; };
  Random random("NeverLetsMappedTimesFall");
  const auto truth = turns(random, 200);
  const auto first = written(random, truth, 0, 60, none);
  const ClockMap map = learn_clock_map(first, written(random, truth, 0, 0, ahead_s));
  const auto mapped = map.onto_second(first);
  for (std::size_t i = 0; i < mapped.size(); ++i) {
    EXPECT_LE(mapped[i - (i > 0 ? 1 : 0)].from, mapped[i].from);
    EXPECT_LE(mapped[i].from, mapped[i].to);
  }
}

}  // namespace
}  // namespace gaugeloom
