#include "gaugeloom/fill/ensemble.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"
#include "support/synthetic_rain.hpp"
#include "support/wave_network.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kTotalGauge = 3;

// Two synthetic months with gaps in their storms and one total of two days, filled.
struct Filled {
  Network network;
  RainRecord rain;
  FillResult result;
};
const Filled& filled_months() {
  static const Filled months = [] {
    support::SyntheticRainOptions options;
    options.gauges = 16;
    options.steps = 60 * 144;
    support::SyntheticRain synthetic = support::synthetic_rain(options);
    RainRecord truth;
    truth.depths = synthetic.table;
    RainRecord rain = with_hidden(truth, storm_gaps(truth, 8, "ensembles"));
    std::size_t first = 0;  // the wettest two days of a gauge
    double most_mm = -1;
    for (std::size_t s = 0; s + 288 <= truth.depths.step_count(); s += 72)
      if (const double mm = window_sum(truth.depths, kTotalGauge, s, s + 288); mm > most_mm) {
        most_mm = mm;
        first = s;
      }
    for (std::size_t s = 0; s < truth.depths.step_count(); ++s) {
      const bool inside = s >= first && s < first + 288;
      if (inside) rain.depths.set_missing(kTotalGauge, s);
      if (!inside) rain.depths.set(kTotalGauge, s, truth.depths.depth_mm(kTotalGauge, s));
    }
    const StepAxis& axis = rain.depths.axis();
    rain.totals = {{kTotalGauge, {axis.begin(first), axis.end(first + 287)}, most_mm}};
    FillResult result = fill_gaps(synthetic.network, rain, all_good(rain.depths));
    return Filled{synthetic.network, rain, std::move(result)};
  }();
  return months;
}

std::vector<float> drawn(const Ensemble& ensemble, std::size_t gauge, StepAxis::Range steps) {
  std::vector<float> depths((steps.last - steps.first) * ensemble.members());
  ensemble.draw(gauge, steps, depths);
  return depths;
}

Ensemble ensemble_of(const Filled& f, int members, int threads = 0) {
  return {f.network, f.rain, f.result, {members, 1, threads}};
}

TEST(Ensemble, LeavesWhatWasNotEstimatedAsItIs) {
  const Filled& f = filled_months();
  const Ensemble ensemble = ensemble_of(f, 5);
  const std::size_t steps = f.rain.depths.step_count();
  std::size_t zeros = 0;
  for (std::size_t g = 0; g < f.network.size(); ++g) {
    const std::vector<float> depths = drawn(ensemble, g, {0, steps});
    for (std::size_t i = 0; i < depths.size(); ++i) {
      if (ensemble.is_estimated(g, i / 5)) continue;
      ASSERT_EQ(std::bit_cast<unsigned>(depths[i]),
                std::bit_cast<unsigned>(f.result.record.depth.depth_mm(g, i / 5)));
      if (f.rain.depths.is_measured(g, i / 5)) {
        ASSERT_EQ(depths[i], f.rain.depths.depth_mm(g, i / 5));
      }
      zeros += depths[i] == 0 ? 1 : 0;
    }
  }
  EXPECT_GT(zeros, 1000U);
}

TEST(Ensemble, LeavesWhatIsMissingMissing) {
  Filled f = filled_months();
  SeriesRecord& record = f.result.record;
  record.depth.set_missing(0, 10);
  record.origin[record.index(0, 10)] = Origin::none;
  const Ensemble ensemble = ensemble_of(f, 3);
  for (const float mm : drawn(ensemble, 0, {10, 11})) EXPECT_TRUE(std::isnan(mm));
}

TEST(Ensemble, KeepsTotalsInEveryMember) {
  const Filled& f = filled_months();
  ASSERT_EQ(f.result.totals.at(0).fate, TotalFate::spread);
  const auto steps = f.rain.depths.axis().within(f.rain.totals[0].over);
  const Ensemble ensemble = ensemble_of(f, 40);
  const std::vector<float> depths = drawn(ensemble, kTotalGauge, steps);
  std::vector<long> sums(40, 0);
  std::size_t different = 0;
  for (std::size_t i = 0; i < depths.size(); ++i) {
    sums[i % 40] += std::lround(1000 * static_cast<double>(depths[i]));
    different += depths[i] != depths[i - i % 40] ? 1 : 0;
  }
  for (const long sum : sums) EXPECT_EQ(sum, std::lround(1000 * f.rain.totals[0].depth_mm));
  EXPECT_GT(different, 40U);
  // The same from a part of it.
  const std::vector<float> part = drawn(ensemble, kTotalGauge, {steps.first + 30, steps.last - 7});
  EXPECT_TRUE(std::equal(part.begin(), part.end(), depths.begin() + 30 * 40));
}

TEST(Ensemble, IsTheSameForAnyThreadsMembersAndParts) {
  const Filled& f = filled_months();
  const Ensemble one = ensemble_of(f, 9, 1);
  const Ensemble three = ensemble_of(f, 4, 3);
  const std::size_t steps = f.rain.depths.step_count();
  for (std::size_t g = 0; g < f.network.size(); ++g) {
    const std::vector<float> all = drawn(one, g, {0, steps});
    for (std::size_t first = 0; first + 700 < steps; first += 700) {
      const std::vector<float> part = drawn(three, g, {first, first + 700});
      for (std::size_t i = 0; i < part.size(); ++i) {
        const float same = all[(first + i / 4) * 9 + i % 4];
        if (std::isnan(same)) continue;
        ASSERT_EQ(part[i], same);
      }
    }
  }
}

TEST(Ensemble, HasTheBandForQuantilesAndTheFillForMean) {
  const Filled& f = filled_months();
  const SeriesRecord& record = f.result.record;
  constexpr std::size_t kMembers = 1000;
  const Ensemble ensemble = ensemble_of(f, kMembers);
  double estimated_mm = 0;
  double mean_mm = 0;
  std::size_t above = 0;
  std::size_t below = 0;
  std::size_t uncertain = 0;
  for (std::size_t g = 0; g < f.network.size(); ++g)
    for (std::size_t s = 0; s < record.depth.step_count(); ++s) {
      if (record.origin[record.index(g, s)] != Origin::neighbours) continue;
      const std::vector<float> depths = drawn(ensemble, g, {s, s + 1});
      const float estimate = record.depth.depth_mm(g, s);
      estimated_mm += static_cast<double>(estimate);
      for (const float mm : depths) {
        ASSERT_EQ(mm, static_cast<float>(std::lround(static_cast<double>(mm) * 1000)) / 1000.0F);
        mean_mm += static_cast<double>(mm) / kMembers;
      }
      const float high = record.high_mm[record.index(g, s)];
      if (estimate <= 0 && high <= 0) {
        ASSERT_TRUE(std::all_of(depths.begin(), depths.end(), [](float mm) { return mm == 0; }));
        continue;
      }
      if (estimate <= 0) continue;
      // A member that rounds to the bound may lie on either side of it.
      const float low = record.low_mm[record.index(g, s)];
      uncertain += kMembers;
      for (const float mm : depths) {
        above += mm > high + 0.0006F ? 1 : 0;
        below += mm < low - 0.0006F ? 1 : 0;
      }
    }
  ASSERT_GT(uncertain, 100 * kMembers);
  EXPECT_NEAR(static_cast<double>(above) / static_cast<double>(uncertain), 0.05, 0.004);
  EXPECT_LT(static_cast<double>(below) / static_cast<double>(uncertain),
            0.054);                              // many bands begin at 0
  EXPECT_NEAR(mean_mm / estimated_mm, 1, 0.05);  // days without a wet estimate rain too
}

TEST(Ensemble, RefusesOddNumbersOfMembers) {
  const Filled& f = filled_months();
  for (const int members : {0, -1, 1001}) EXPECT_THROW(ensemble_of(f, members), Error);
}

// A record made by hand: every hour of every gauge estimated as 1 mm, 0 to 3 mm, by 1.1 mm; sums of
// 6 h and of a day are uncertain by `six_hours_mm` and `day_mm`.
FillResult steady_fill(std::size_t gauges, std::size_t hours, double six_hours_mm, double day_mm) {
  FillResult filled;
  RainTable missing(
      StepAxis(parse_iso8601("2024-06-01T01:00Z")->utc(), std::chrono::hours{1}, hours), gauges);
  filled.record = unchecked_record(std::move(missing));
  make_room_for_bounds(filled.record);
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < hours; ++s) {
      const std::size_t i = filled.record.index(g, s);
      filled.record.depth.set(g, s, 1);
      filled.record.quality.at(g, s) = Quality::estimate;
      filled.record.origin[i] = Origin::neighbours;
      filled.record.low_mm[i] = 0;
      filled.record.high_mm[i] = 3;
      filled.record.standard_error_mm[i] = 1.1F;
    }
  filled.plan.learned = true;
  filled.plan.variogram_range_m = 20000 / 1.5;
  filled.errors.durations = {{1, {{1, 0, 3, 1.1, 100}}, 0, 0},
                             {6, {{6, 0, 2, six_hours_mm / 6, 100}}, 0, 0},
                             {24, {{24, 0, 2, day_mm / 24, 100}}, 0, 0}};
  return filled;
}

constexpr int kMembers = 400;

// Sums of windows of so many hours, member by member.
std::vector<double> sums(const Ensemble& ensemble, std::size_t gauge, std::size_t hours,
                         std::size_t record_hours) {
  std::vector<double> all;
  for (std::size_t first = 0; first + hours <= record_hours; first += hours) {
    std::vector<double> members(ensemble.members(), 0);
    const std::vector<float> depths = drawn(ensemble, gauge, {first, first + hours});
    for (std::size_t i = 0; i < depths.size(); ++i)
      members[i % ensemble.members()] += static_cast<double>(depths[i]);
    all.insert(all.end(), members.begin(), members.end());
  }
  return all;
}

double covariance(const std::vector<double>& a, const std::vector<double>& b) {
  const auto count = static_cast<double>(a.size());
  const double mean_a = std::accumulate(a.begin(), a.end(), 0.0) / count;
  const double mean_b = std::accumulate(b.begin(), b.end(), 0.0) / count;
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += (a[i] - mean_a) * (b[i] - mean_b);
  return sum / count;
}

TEST(Ensemble, MakesSumsAsUncertainAsWasLearned) {
  const Network network = support::circle_network(3);
  // Errors without memory; with some; with much.
  for (const auto& [six_mm, day_mm] : {std::pair{2.7, 5.4}, {3.8, 9.0}, {5.2, 16.0}}) {
    SCOPED_TRACE(day_mm);
    const FillResult filled = steady_fill(3, 20 * 24, six_mm, day_mm);
    const Ensemble ensemble(network, {}, filled, {kMembers, 1, 0});
    const auto hours = sums(ensemble, 0, 1, 480);
    const auto six_hours = sums(ensemble, 0, 6, 480);
    const auto days = sums(ensemble, 0, 24, 480);
    const double step_mm = std::sqrt(covariance(hours, hours));
    EXPECT_NEAR(
        std::accumulate(hours.begin(), hours.end(), 0.0) / static_cast<double>(hours.size()), 1,
        0.02);
    EXPECT_NEAR(step_mm, 1.1, 0.05);
    // 8 windows were asked, and the nodes lie differently in each: 7 %.
    EXPECT_NEAR(std::sqrt(covariance(six_hours, six_hours)) / six_mm, 1, 0.07);
    EXPECT_NEAR(std::sqrt(covariance(days, days)) / day_mm, 1, 0.07);
  }
}

TEST(Ensemble, LetsNearGaugesGoTogetherAndFarOnesNot) {
  Network network = support::circle_network(4);  // A and B 5 km apart
  network.gauges[3].position = {200000, 0};
  const FillResult filled = steady_fill(4, 10 * 24, 3.3, 8.0);
  const Ensemble ensemble(network, {}, filled, {kMembers, 1, 0});
  const auto a = sums(ensemble, 0, 6, 240);
  const auto b = sums(ensemble, 1, 6, 240);
  const auto far = sums(ensemble, 3, 6, 240);
  const double scale = covariance(a, a);
  // Of the numbers, 0.95 (1 - 1.5 / 4 + 0.5 / 64) = 0.60; of depths, skew, a little less.
  EXPECT_NEAR(covariance(a, b) / scale, 0.57, 0.06);
  EXPECT_NEAR(covariance(a, far) / scale, 0, 0.04);
}

TEST(Ensemble, KeepsWaterThatWasPutBackAndNoneWhereThereWasNone) {
  const Network network = support::circle_network(3);
  FillResult filled = steady_fill(3, 48, 3.8, 9.0);
  SeriesRecord& record = filled.record;
  const StepAxis& axis = record.depth.axis();
  for (std::size_t s = 0; s < 24; ++s) {
    record.origin[record.index(1, s)] = record.origin[record.index(2, s)] = Origin::spread_total;
    record.depth.set(2, s, 0);
  }
  const Interval day{axis.begin(0), axis.end(23)};
  filled.recovered = {{1, day, 24, 24, true}, {2, day, 0, 0, true}};
  const Ensemble ensemble(network, {}, filled, {30, 1, 0});
  const auto days = sums(ensemble, 1, 24, 24);
  for (const double mm : days) EXPECT_NEAR(mm, 24, 1e-4);  // of floats; exact in thousandths
  for (const float mm : drawn(ensemble, 2, {0, 24})) EXPECT_EQ(mm, 0);
}

TEST(Ensemble, IsTheSameBesideGaugesOutOfReachAndInAnyOrder) {
  const Network few = support::circle_network(3);
  Network more = support::circle_network(4);
  more.gauges[3].id = "AA";
  more.gauges[3].position = {200000, 0};
  std::swap(more.gauges[0], more.gauges[2]);
  const FillResult of_few = steady_fill(3, 48, 3.3, 8.0);
  const FillResult of_more = steady_fill(4, 48, 3.3, 8.0);
  const Ensemble a(few, {}, of_few, {6, 1, 0});
  const Ensemble b(more, {}, of_more, {6, 1, 0});
  EXPECT_EQ(drawn(a, 0, {0, 48}), drawn(b, 2, {0, 48}));
  EXPECT_EQ(drawn(a, 1, {0, 48}), drawn(b, 1, {0, 48}));
  EXPECT_EQ(drawn(a, 2, {0, 48}), drawn(b, 0, {0, 48}));
  const Ensemble other(few, {}, of_few, {6, 2, 0});
  EXPECT_NE(drawn(a, 0, {0, 48}), drawn(other, 0, {0, 48}));
}

}  // namespace
}  // namespace gaugeloom
