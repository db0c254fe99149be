#include "gaugeloom/fill/fill_gaps.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

#include "support/wave_network.hpp"

namespace gaugeloom {
namespace {

using support::circle_network;
using support::shower_mm;
using support::shower_record;

constexpr std::size_t kHours = 480;

// Hides steps [first, last) of gauge 0, fills, and returns the result.
FillResult fill_hidden(RainRecord& record, std::size_t first, std::size_t last,
                       const FillOptions& options = {}) {
  for (std::size_t s = first; s < last; ++s) record.depths.set_missing(0, s);
  return fill_gaps(circle_network(record.depths.gauge_count()), record, all_good(record.depths),
                   options);
}

TEST(FillGaps, EqualRainIsFilledExactly) {
  // Weights sum to 1 and every neighbour has the same depth, so whatever they are the estimate is
  // that depth; measured over estimated is 1 in every test.
  RainRecord record = shower_record({1, 1, 1, 1}, kHours);
  const FillResult result = fill_hidden(record, 100, 140);
  EXPECT_TRUE(result.plan.learned);
  for (std::size_t s = 100; s < 140; ++s) {
    EXPECT_NEAR(result.record.depth.depth_mm(0, s), shower_mm(s), 0.0015) << s;
    EXPECT_EQ(result.record.quality.at(0, s), Quality::estimate);
    EXPECT_EQ(result.record.origin[s], Origin::neighbours);
  }
  EXPECT_EQ(result.gauges[0].filled, 40U);
  EXPECT_EQ(result.gauges[0].worst_gap->length(), std::chrono::hours{40});
  EXPECT_TRUE(result.refusals.empty());
}

TEST(FillGaps, MeasuredStepsKeepTheCounterThatGaveThem) {
  RainRecord record = shower_record({1, 1, 1, 1}, kHours);
  record.other_counter = {{0, 50}, {0, 100}, {2, 7}};  // the second of them is hidden
  const FillResult result = fill_hidden(record, 100, 140);
  EXPECT_EQ(result.record.origin[49], Origin::measured);
  EXPECT_EQ(result.record.origin[50], Origin::other_counter);
  EXPECT_EQ(result.record.origin[100], Origin::neighbours);
  EXPECT_EQ(result.record.origin[2 * kHours + 7], Origin::other_counter);
  EXPECT_EQ(result.record.depth.depth_mm(0, 50), record.depths.depth_mm(0, 50));
}

TEST(FillGaps, ThreeNeighboursByHand) {
  // A has B, C and D at 5 km each: by symmetry each weighs a third, by inverse distance and by
  // kriging. One single hour differs: B 0, C 3, D 6 mm makes 3 mm before anything learned; the
  // record is otherwise equal rain, which teaches factors of nearly 1.
  RainRecord record = shower_record({1, 1, 1, 1}, kHours);
  const std::size_t hour = 106;  // 4 mm everywhere otherwise
  record.depths.set(1, hour, 0);
  record.depths.set(2, hour, 3);
  record.depths.set(3, hour, 6);
  const FillResult result = fill_hidden(record, hour, hour + 1);
  EXPECT_NEAR(result.record.depth.depth_mm(0, hour), 3, 0.05);
}

TEST(FillGaps, ASiteThatCatchesHalfIsFilledWithHalf) {
  RainRecord record = shower_record({0.5F, 1, 1, 1, 1}, 12 * 200);
  const FillResult result = fill_hidden(record, 100, 140);
  EXPECT_TRUE(result.plan.site_ratio);
  // The ratios are of a gauge to its neighbours, whose own ratios rise beside such a one.
  EXPECT_LT(result.gauges[0].site_ratio, 0.7);
  EXPECT_GT(result.gauges[1].site_ratio, 1);
  EXPECT_NEAR(result.record.depth.depth_mm(0, 106), 2, 0.25);
}

TEST(FillGaps, RefusesWithFewerThanThreeNeighbours) {
  RainRecord record = shower_record({1, 1, 1}, kHours);
  const FillResult result = fill_hidden(record, 100, 140);
  ASSERT_EQ(result.refusals.size(), 1U);
  EXPECT_EQ(result.refusals[0].why, Refusal::few_neighbours);
  EXPECT_EQ(result.refusals[0].steps, 40U);
  EXPECT_EQ(result.gauges[0].refused, 40U);
  EXPECT_FALSE(result.record.depth.is_measured(0, 106));
  EXPECT_EQ(result.record.quality.at(0, 106), Quality::missing);
  EXPECT_EQ(result.record.origin[106], Origin::none);
}

TEST(FillGaps, RefusesWhenTheWholeNetworkIsOut) {
  RainRecord record = shower_record({1, 1, 1, 1, 1}, kHours);
  for (std::size_t g = 1; g < 5; ++g)
    for (std::size_t s = 100; s < 110; ++s) record.depths.set_missing(g, s);
  const FillResult result = fill_hidden(record, 100, 112);
  EXPECT_EQ(result.gauges[0].refused, 10U);
  EXPECT_EQ(result.gauges[0].filled, 2U);
  EXPECT_EQ(result.refusals.size(), 5U);
  EXPECT_FALSE(result.record.depth.is_measured(0, 109));
  EXPECT_NEAR(result.record.depth.depth_mm(0, 110), 0, 1e-6);
}

TEST(FillGaps, FillsBeforeAGaugeOpensAndAfterItCloses) {
  RainRecord record = shower_record({1, 1, 1, 1, 1}, kHours);
  for (std::size_t s = 400; s < kHours; ++s) record.depths.set_missing(0, s);
  const FillResult result = fill_hidden(record, 0, 60);
  EXPECT_EQ(result.gauges[0].filled, 60U + 80U);
  EXPECT_NEAR(result.record.depth.depth_mm(0, 10), 4, 0.0015);
  EXPECT_NEAR(result.record.depth.depth_mm(0, 406), 4, 0.0015);
}

TEST(FillGaps, RefusesWhenTheRecordTaughtNothing) {
  RainRecord record = shower_record({1, 1, 1, 1}, 24);
  const FillResult result = fill_hidden(record, 10, 12);
  EXPECT_FALSE(result.plan.learned);
  EXPECT_EQ(result.refusals.at(0).why, Refusal::nothing_learned);
  EXPECT_TRUE(result.errors.durations.empty());
}

TEST(FillGaps, RefusesNeighboursFarAwayOnOneSide) {
  RainRecord record = shower_record({1, 1, 1, 1, 1, 1}, kHours);
  Network network = circle_network(6);
  network.gauges[0].position = {-70000, -70000};
  for (std::size_t s = 100; s < 120; ++s) record.depths.set_missing(0, s);
  const FillResult result = fill_gaps(network, record, all_good(record.depths));
  EXPECT_EQ(result.refusals.at(0).why, Refusal::one_sided);
}

TEST(FillGaps, ReplacesWhatTheOptionsSay) {
  for (const Replace replace : {Replace::none, Replace::confirmed, Replace::provisional}) {
    RainRecord record = shower_record({1, 1, 1, 1, 1}, kHours);
    QualityTable quality = all_good(record.depths);
    record.depths.set(0, 106, 90);
    quality.at(0, 106) = Quality::poor;
    record.depths.set(0, 118, 80);
    quality.at(0, 118) = Quality::suspect;
    FillOptions options;
    options.replace = replace;
    const FillResult result = fill_gaps(circle_network(5), record, quality, options);
    const SeriesRecord& series = result.record;
    EXPECT_EQ(series.observed.depth_mm(0, 106), 90);
    EXPECT_EQ(series.depth.depth_mm(0, 106) > 50, replace == Replace::none);
    EXPECT_EQ(series.depth.depth_mm(0, 118) > 50, replace != Replace::provisional);
    EXPECT_EQ(series.quality.at(0, 106),
              replace == Replace::none ? Quality::poor : Quality::estimate);
    // A poor or suspect value feeds nobody while others are there.
    EXPECT_NEAR(series.depth.depth_mm(1, 106), 4, 1e-6);
  }
}

TEST(FillGaps, APoorValueThatCannotBeReplacedStays) {
  RainRecord record = shower_record({1, 1, 1}, kHours);
  QualityTable quality = all_good(record.depths);
  quality.at(0, 106) = Quality::poor;
  const FillResult result = fill_gaps(circle_network(3), record, quality);
  EXPECT_EQ(result.record.quality.at(0, 106), Quality::poor);
  EXPECT_EQ(result.record.origin[106], Origin::measured);
  EXPECT_EQ(result.record.depth.depth_mm(0, 106), 4);
  EXPECT_EQ(result.gauges[0].refused, 1U);
}

TEST(FillGaps, SuspectNeighboursServeOnlyWhereOthersAreTooFew) {
  RainRecord record = shower_record({1, 1, 1, 1, 1}, kHours);
  QualityTable quality = all_good(record.depths);
  record.depths.set_missing(0, 106);
  quality.at(0, 106) = Quality::missing;
  record.depths.set(1, 106, 16);
  quality.at(1, 106) = Quality::suspect;
  EXPECT_NEAR(fill_gaps(circle_network(5), record, quality).record.depth.depth_mm(0, 106), 4, 0.05);
  record.depths.set_missing(2, 106);
  quality.at(2, 106) = Quality::missing;  // left: B (suspect), D, E
  EXPECT_GT(fill_gaps(circle_network(5), record, quality).record.depth.depth_mm(0, 106), 6);
}

TEST(FillGaps, SpreadsATotalInTheCourseOfTheNeighbours) {
  RainRecord record = shower_record({1, 1, 1}, 24);  // two neighbours, nothing learned: enough
  const StepAxis& axis = record.depths.axis();
  record.totals.push_back({0, {axis.begin(6), axis.end(11)}, 14});
  const FillResult result = fill_hidden(record, 6, 12);
  EXPECT_EQ(result.totals.at(0).fate, TotalFate::spread);
  EXPECT_EQ(result.record.depth.depth_mm(0, 9), 2);
  EXPECT_EQ(result.record.depth.depth_mm(0, 10), 8);
  EXPECT_EQ(result.record.depth.depth_mm(0, 11), 4);
  EXPECT_EQ(result.record.depth.depth_mm(0, 6), 0);
  EXPECT_EQ(result.record.origin[10], Origin::spread_total);
  EXPECT_EQ(result.gauges[0].spread, 6U);
}

TEST(FillGaps, LeavesATotalWhereItWasReadWhenTheNeighboursWereDry) {
  RainRecord record = shower_record({1, 1, 1}, 24);
  const StepAxis& axis = record.depths.axis();
  record.totals.push_back({0, {axis.begin(2), axis.end(5)}, 3.5});
  const FillResult result = fill_hidden(record, 2, 6);
  EXPECT_EQ(result.totals.at(0).fate, TotalFate::left_where_read);
  EXPECT_EQ(result.record.depth.depth_mm(0, 5), 3.5F);
  EXPECT_EQ(result.record.depth.depth_mm(0, 4), 0);
}

TEST(FillGaps, DoesNotUseATotalThatLeavesTheRecordOrMeetsMeasuredSteps) {
  RainRecord record = shower_record({1, 1, 1, 1}, 24);
  const StepAxis& axis = record.depths.axis();
  record.totals.push_back({0, {axis.begin(0) - std::chrono::hours{5}, axis.end(3)}, 3});
  record.totals.push_back({0, {axis.begin(3), axis.end(8)}, 3});
  const FillResult result = fill_hidden(record, 0, 4);
  EXPECT_EQ(result.totals.at(0).fate, TotalFate::not_used);
  EXPECT_EQ(result.totals.at(1).fate, TotalFate::not_used);
  EXPECT_EQ(result.gauges[0].spread, 0U);
}

// Gauge A reads nothing in hours [96, 119) (14 mm fell) and lets go `held_mm` in hour 119.
FillResult fill_held_back(float held_mm, Quality quality_of_spell,
                          const FillOptions& options = {}) {
  RainRecord record = shower_record({1, 1, 1, 1, 1}, kHours);
  QualityTable quality = all_good(record.depths);
  for (std::size_t s = 96; s < 120; ++s) {
    record.depths.set(0, s, s == 119 ? held_mm : 0);
    quality.at(0, s) = quality_of_spell;
  }
  const StepAxis& axis = record.depths.axis();
  const HeldBack held{0, {axis.begin(96), axis.end(119)}};
  return fill_gaps(circle_network(5), record, quality, options, std::span(&held, 1));
}

double sum_mm(const FillResult& result, std::size_t first, std::size_t last) {
  double sum = 0;
  for (std::size_t s = first; s < last; ++s)
    sum += static_cast<double>(result.record.depth.depth_mm(0, s));
  return sum;
}

TEST(FillGaps, PutsWaterBackWhereItFell) {
  const FillResult result = fill_held_back(15.4F, Quality::poor);
  ASSERT_EQ(result.recovered.size(), 1U);
  EXPECT_TRUE(result.recovered[0].put_back);
  EXPECT_NEAR(result.recovered[0].read_mm, 15.4, 1e-5);
  EXPECT_NEAR(sum_mm(result, 96, 120), 15.4, 1e-4);
  EXPECT_NEAR(result.record.depth.depth_mm(0, 106), 4.4, 1e-4);  // 4 of 14 mm
  EXPECT_EQ(result.record.origin[106], Origin::spread_total);
  EXPECT_EQ(result.record.observed.depth_mm(0, 119), 15.4F);
}

TEST(FillGaps, AFunnelThatSpilledIsFilledFromTheNeighbours) {
  const FillResult result = fill_held_back(5, Quality::poor);
  ASSERT_EQ(result.recovered.size(), 1U);
  EXPECT_FALSE(result.recovered[0].put_back);
  EXPECT_NEAR(result.recovered[0].filled_mm, 14, 0.01);
  EXPECT_EQ(result.record.origin[106], Origin::neighbours);
}

TEST(FillGaps, ASpellThatIsNotReplacedKeepsItsBurst) {
  const FillResult result = fill_held_back(14, Quality::suspect);
  EXPECT_TRUE(result.recovered.empty());
  EXPECT_EQ(result.record.depth.depth_mm(0, 119), 14);
}

TEST(FillGaps, EstimatesInWholeTipsWhenAsked) {
  FillOptions options;
  options.whole_tips = true;
  RainRecord record = shower_record({1.07F, 1.07F, 1.07F, 1.07F}, kHours);
  const FillResult result = fill_hidden(record, 100, 140, options);
  for (std::size_t s = 100; s < 140; ++s) {
    const auto depth_mm = static_cast<double>(result.record.depth.depth_mm(0, s));
    EXPECT_NEAR(depth_mm, 0.2 * std::round(depth_mm / 0.2), 1e-4) << s;
    if (result.record.low_mm[s] >= 0) {
      EXPECT_LE(result.record.low_mm[s], result.record.depth.depth_mm(0, s));
      EXPECT_GE(result.record.high_mm[s], result.record.depth.depth_mm(0, s));
    }
  }
  EXPECT_NEAR(sum_mm(result, 100, 140), 3 * 7 * 1.07, 0.11);
}

TEST(FillGaps, RefusesImpossibleRequests) {
  const RainRecord record = shower_record({1, 1, 1, 1}, 24);
  const QualityTable quality = all_good(record.depths);
  FillOptions options;
  options.neighbours = 2;
  EXPECT_THROW(fill_gaps(circle_network(4), record, quality, options), Error);
  EXPECT_THROW(fill_gaps(circle_network(5), record, quality), Error);
  EXPECT_THROW(fill_gaps(circle_network(4), record, QualityTable(4, 3, Quality::good)), Error);
}

TEST(FillGaps, ReadsItsOwnWords) {
  for (const Replace replace : {Replace::none, Replace::confirmed, Replace::provisional})
    EXPECT_EQ(parse_replace(word(replace)), replace);
  EXPECT_FALSE(parse_replace("all").has_value());
  for (const Refusal refusal :
       {Refusal::few_neighbours, Refusal::one_sided, Refusal::no_skill, Refusal::nothing_learned})
    EXPECT_EQ(sentence(refusal).back(), '.');
}

}  // namespace
}  // namespace gaugeloom
