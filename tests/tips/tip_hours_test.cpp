#include "gaugeloom/tips/tip_hours.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

Instant at_h(double h) { return Instant(std::chrono::microseconds(std::llround(3.6e9 * h))); }

// Gauge 0 with two counters and four neighbours 5 km apart, each with so many tips an hour in every
// tenth hour of a thousand.
struct Field {
  TipRecord record;
  std::vector<GaugeFacts> facts{5};
  explicit Field(std::vector<int> an_hour = {2, 4, 2, 1, 8}) {
    for (std::size_t g = 0; g < 5; ++g) {
      facts[g].rows.emplace_back();
      facts[g].rows[0].position = {5000.0 * static_cast<double>(g), 0};
      record.gauges.push_back({{{0, tips(an_hour[g])}}});
    }
    record.gauges[0].trains.push_back({1, tips(1)});
  }
  static std::vector<Instant> tips(int an_hour) {
    std::vector<Instant> times;
    for (int h = 0; h < 1000; h += 10)
      for (int tip = 0; tip < an_hour; ++tip) times.push_back(at_h(h + tip * 0.1));
    return times;
  }
};

// Each neighbour, scaled by its usual ratio, speaks for 2 tips in the hour; by hand.
TEST(TipHours, ExpectWhatTheNeighboursHadTimesTheUsualRatio) {
  const Field field;
  const TipHours hours(field.record, field.facts);
  EXPECT_DOUBLE_EQ(hours.expected_tips(0, {at_h(500), at_h(500.5)}), 2);
  EXPECT_DOUBLE_EQ(hours.expected_tips(0, {at_h(499.5), at_h(520.1)}), 6);
  EXPECT_DOUBLE_EQ(hours.expected_tips(0, {at_h(501), at_h(509.9)}), 0);
}

TEST(TipHours, TakeTheMedianOfTheNeighbours) {
  Field field;
  for (int i = 0; i < 500; ++i) field.record.gauges[1].trains[0].times.push_back(at_h(505.5));
  const TipHours hours(field.record, field.facts);
  EXPECT_DOUBLE_EQ(hours.expected_tips(0, {at_h(505), at_h(505.9)}), 0);
}

TEST(TipHours, DoNotCareForTheOrderOfTips) {
  Field field;
  const double before = TipHours(field.record, field.facts).expected_tips(0, {at_h(95), at_h(215)});
  for (GaugeTips& gauge : field.record.gauges)
    for (TipTrain& train : gauge.trains) std::swap(train.times.front(), train.times.back());
  EXPECT_DOUBLE_EQ(TipHours(field.record, field.facts).expected_tips(0, {at_h(95), at_h(215)}),
                   before);
}

TEST(TipHours, KnowNothingWithFewNeighboursAlive) {
  Field field;
  field.facts[1].outages.push_back({at_h(490), at_h(501)});
  EXPECT_DOUBLE_EQ(TipHours(field.record, field.facts).expected_tips(0, {at_h(500), at_h(501)}), 2);
  field.facts[2].rows[0].position = {70000, 0};  // too far
  const TipHours hours(field.record, field.facts);
  EXPECT_TRUE(std::isnan(hours.expected_tips(0, {at_h(500), at_h(501)})));
  EXPECT_DOUBLE_EQ(hours.expected_tips(0, {at_h(510), at_h(510.5)}), 2);
  EXPECT_TRUE(std::isnan(hours.expected_tips(0, {at_h(510), at_h(1500)})));  // after their last
}

TEST(TipHours, NeedAHundredTipsForARatio) {
  Field field;
  for (std::size_t g = 1; g < 5; ++g) field.record.gauges[g].trains[0].times.resize(99);
  EXPECT_TRUE(
      std::isnan(TipHours(field.record, field.facts).expected_tips(0, {at_h(10), at_h(10.5)})));
}

}  // namespace
}  // namespace gaugeloom
