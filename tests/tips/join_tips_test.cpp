#include "gaugeloom/tips/join_tips.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

using std::chrono::hours;

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

// Hours of 2024-03-01 from the one that ends at `first` on; "2 - 0": whole mm, a dash for missing.
RainTable table(int first, std::initializer_list<const char*> rows) {
  std::vector<float> values;
  std::size_t steps = 0;
  for (const std::string row : rows) {
    steps = (row.size() + 1) / 2;
    for (std::size_t i = 0; i < row.size(); i += 2)
      values.push_back(row[i] == '-' ? std::nanf("") : static_cast<float>(row[i] - '0'));
  }
  return RainTable(StepAxis(at("2024-03-01T00:00Z") + hours(first), hours(1), steps), rows.size(),
                   values);
}

std::string said(const RainTable& table, std::size_t gauge) {
  std::string text;
  for (std::size_t s = 0; s < table.step_count(); ++s) {
    if (s > 0) text += ' ';
    text += table.is_measured(gauge, s)
                ? std::to_string(std::lround(static_cast<double>(table.depth_mm(gauge, s))))
                : "-";
  }
  return text;
}

// Corrected depths, as counted one mm less where above 0; a gauge has a tip where any is.
CorrectedNetwork tips(const RainTable& corrected) {
  CorrectedNetwork network;
  RainTable counted = corrected;
  network.gauges.resize(corrected.gauge_count());
  for (std::size_t g = 0; g < corrected.gauge_count(); ++g)
    for (std::size_t s = 0; s < corrected.step_count(); ++s)
      if (corrected.depth_mm(g, s) > 0) {
        counted.set(g, s, corrected.depth_mm(g, s) - 1);
        ++network.gauges[g].tips[0];
      }
  network.series = unchecked_record(std::move(counted));
  network.series.depth = corrected;
  return network;
}

TEST(JoinTips, ReachOverBothAndKeepWhatWasCounted) {
  RainRecord record;
  record.depths = table(5, {"1 - 3", "- - -"});
  record.refused = {{0, 1, 9}};
  record.other_counter = {{0, 2}};
  CorrectedNetwork other = tips(table(3, {"- - - -", "4 0 - 2"}));
  other.series.origin[other.series.index(1, 3)] = Origin::other_counter;
  const TwiceGiven twice = join_tips(record, other);
  EXPECT_EQ(twice.steps, 0U);
  EXPECT_EQ(record.depths.axis().end(0), at("2024-03-01T03:00Z"));
  EXPECT_EQ(said(record.depths, 0), "- - 1 - 3");
  EXPECT_EQ(said(record.depths, 1), "4 0 - 2 -");
  EXPECT_EQ(said(record.counted, 0), "- - 1 - 3");
  EXPECT_EQ(said(record.counted, 1), "3 0 - 1 -");
  ASSERT_EQ(record.refused.size(), 1U);
  EXPECT_EQ(record.refused[0].step, 3U);
  const SeriesRecord series = unchecked_record(record);
  EXPECT_EQ(said(series.observed, 1), "3 0 - 1 -");
  EXPECT_EQ(series.origin[series.index(0, 4)], Origin::other_counter);
  EXPECT_EQ(series.origin[series.index(1, 3)], Origin::other_counter);
  EXPECT_EQ(series.origin[series.index(1, 0)], Origin::measured);
}

TEST(JoinTips, HoldWhereBothSaySomething) {
  RainRecord record;
  record.depths = table(1, {"1 2 3 4", "7 7 7 7"});
  record.quality = QualityTable(2, 4, Quality::good);
  record.refused = {{0, 2, 9}};
  record.other_counter = {{0, 1}, {1, 1}};
  CorrectedNetwork other = tips(table(2, {"5 0", "0 0"}));  // no tip of the second gauge
  other.series.refused = {{0, 1, 8}};
  other.series.depth.set_missing(0, 1);
  other.series.observed.set_missing(0, 1);
  const TwiceGiven twice = join_tips(record, other);
  EXPECT_EQ(said(record.depths, 0), "1 5 - 4");
  EXPECT_EQ(said(record.counted, 0), "1 4 - 4");
  EXPECT_EQ(said(record.depths, 1), "7 7 7 7");
  EXPECT_EQ(record.quality.at(0, 0), Quality::good);
  EXPECT_EQ(record.quality.at(0, 1), Quality::unchecked);
  EXPECT_EQ(record.quality.at(0, 2), Quality::missing);
  ASSERT_EQ(record.refused.size(), 1U);
  EXPECT_EQ(record.refused[0].depth_mm, 8);
  ASSERT_EQ(record.other_counter.size(), 1U);
  EXPECT_EQ(record.other_counter[0].gauge, 1U);
  EXPECT_EQ(twice.steps, 1U);
  EXPECT_EQ(twice.gauges, 1U);
  EXPECT_EQ(twice.first, 0U);
  EXPECT_EQ(twice.depths_mm, 2);
  EXPECT_EQ(twice.tips_mm, 5);
}

TEST(JoinTips, LeaveOutATotalThatTipsMeasured) {
  RainRecord record;
  record.depths = table(1, {"- - - -", "- - 1 1"});
  const Interval first{at("2024-03-01T00:00Z"), at("2024-03-01T02:00Z")};
  record.totals = {{0, first, 12}, {1, first, 12}};
  EXPECT_EQ(join_tips(record, tips(table(2, {"5 1", "- 3"}))).totals, 1U);
  ASSERT_EQ(record.totals.size(), 1U);
  EXPECT_EQ(record.totals[0].gauge, 1U);
}

TEST(JoinTips, AloneTakeTheirZerosFromGaugesWithoutATip) {
  RainRecord record;
  join_tips(record, tips(table(1, {"- 2", "0 0"})));
  EXPECT_EQ(said(record.depths, 0), "- 2");
  EXPECT_EQ(said(record.depths, 1), "0 0");
}

TEST(JoinTips, KeepTheSumsOfBoth) {
  Random random(7);
  for (int round = 0; round < 50; ++round) {
    const auto some = [&](double missing) {
      RainTable made(
          StepAxis(at("2024-03-01T00:00Z") + hours(random.below(9)), hours(1), 1 + random.below(9)),
          3);
      for (std::size_t g = 0; g < 3; ++g)
        for (std::size_t s = 0; s < made.step_count(); ++s)
          if (!random.chance(missing)) made.set(g, s, static_cast<float>(1 + random.below(5)));
      return made;
    };
    const auto sum = [](const RainTable& of) {
      double mm = 0;
      for (const float value : of.values()) mm += std::isnan(value) ? 0.0 : double{value};
      return mm;
    };
    RainRecord record;
    record.depths = some(0.5);
    const RainTable corrected = some(0.5);
    const double apart_mm = sum(record.depths) + sum(corrected);
    const TwiceGiven twice = join_tips(record, tips(corrected));
    ASSERT_DOUBLE_EQ(sum(record.depths) + twice.depths_mm, apart_mm);
  }
}

}  // namespace
}  // namespace gaugeloom
