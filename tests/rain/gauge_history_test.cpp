#include "gaugeloom/rain/gauge_history.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant day(const char* text) { return parse_iso8601(text)->utc(); }

Gauge row(double x_m, double bucket_mm, const char* opened, const char* closed) {
  Gauge gauge;
  gauge.id = "a";
  gauge.position = {x_m, 0};
  gauge.bucket_mm = bucket_mm;
  if (*opened != '\0') gauge.opened = day(opened);
  if (*closed != '\0') gauge.closed = day(closed);
  return gauge;
}

// Gauge a had three places; b has none of it.
Network moved_twice() {
  Network network;
  GaugeHistory history{
      0,
      {row(0, 0.1, "2001-01-01", "2003-01-01"), row(3000, 0.2, "2003-01-01", "2005-01-01"),
       row(3000, 0.5, "2005-02-01", "")}};
  network.gauges = {history.rows.back(), Gauge{}};
  network.gauges[0].opened = history.rows[0].opened;
  network.gauges[1].id = "b";
  network.histories = {history};
  return network;
}

// Daily, the first day ends at `first_end`; both gauges measure every day.
RainTable days(const char* first_end, std::size_t count) {
  return {StepAxis(day(first_end), std::chrono::hours(24), count), 2,
          std::vector<float>(2 * count, 1)};
}

struct Settled {
  Gauge gauge;
  std::vector<std::string> notices;
};

Settled settle(const RainTable& depths, Network network = moved_twice()) {
  Settled settled;
  settle_histories(network, depths, settled.notices);
  settled.gauge = network.gauges[0];
  return settled;
}

TEST(GaugeHistory, UsesTheRowThatCoversTheRecord) {
  const Settled first = settle(days("2002-01-02", 30));
  EXPECT_EQ(first.gauge.bucket_mm, 0.1);
  EXPECT_EQ(first.gauge.position.x_m, 0);
  EXPECT_EQ(first.gauge.opened, day("2001-01-01"));
  EXPECT_FALSE(first.gauge.closed);  // its life, not the row's
  EXPECT_TRUE(first.notices.empty());
  EXPECT_EQ(settle(days("2004-01-02", 30)).gauge.bucket_mm, 0.2);
  EXPECT_EQ(settle(days("2010-01-02", 30)).gauge.bucket_mm, 0.5);
}

TEST(GaugeHistory, TellsAChangeDuringTheRecord) {
  // 31 days to the end of 2002, the last of them ending when the second row opens, and 10 after.
  const Settled settled = settle(days("2002-12-02", 41));
  EXPECT_EQ(settled.gauge.bucket_mm, 0.1);
  ASSERT_EQ(settled.notices.size(), 1U);
  EXPECT_EQ(settled.notices[0],
            "gauge a was changed during the record: from 2001-01-01T00:00:00Z to "
            "2003-01-01T00:00:00Z 0.00 km from the used place, bucket 0.1 mm (31 depths), used for "
            "the whole record; from 2003-01-01T00:00:00Z to 2005-01-01T00:00:00Z 3.00 km from the "
            "used place, bucket 0.2 mm (10 depths); for each place in its own time, cut the record "
            "there and run the parts apart");
}

TEST(GaugeHistory, TakesTheLaterOfTwoThatCoverAsMuch) {
  EXPECT_EQ(settle(days("2002-12-31", 4)).gauge.bucket_mm, 0.2);
}

TEST(GaugeHistory, CountsMeasuredDepthsOnly) {
  RainTable depths = days("2002-12-02", 41);
  for (std::size_t step = 0; step < 31; ++step) depths.set_missing(0, step);
  const Settled settled = settle(depths);
  EXPECT_EQ(settled.gauge.bucket_mm, 0.2);
  EXPECT_TRUE(settled.notices.empty());
}

TEST(GaugeHistory, TellsDepthsOfATimeWhenNothingWasOpen) {
  const Settled before = settle(days("2000-12-30", 10));  // three of them before it opened
  EXPECT_EQ(before.gauge.bucket_mm, 0.1);
  ASSERT_EQ(before.notices.size(), 1U);
  EXPECT_EQ(before.notices[0],
            "depths of gauges that were not open, by the gauge list: 3 (first: gauge a at "
            "2000-12-30T00:00:00Z); they are used: correct opened and closed, or the record");
  const Settled between = settle(days("2005-01-11", 5));  // between two rows: the one before it
  EXPECT_EQ(between.gauge.bucket_mm, 0.2);
  ASSERT_EQ(between.notices.size(), 1U);
  EXPECT_EQ(settle(days("1999-01-01", 5)).gauge.bucket_mm, 0.1);
}

TEST(GaugeHistory, TellsThemForAGaugeWithOneRowToo) {
  Network network = moved_twice();
  network.histories.clear();
  network.gauges[0] = row(0, 0.2, "", "2003-01-01");
  const Settled settled = settle(days("2002-12-31", 6), network);
  ASSERT_EQ(settled.notices.size(), 1U);
  EXPECT_EQ(settled.notices[0].find("depths of gauges that were not open, by the gauge list: 4 ("),
            0U)
      << settled.notices[0];
}

TEST(GaugeHistory, NamesFiveGaugesAtMost) {
  Network network;
  for (std::size_t g = 0; g < 7; ++g) {
    const GaugeHistory one = moved_twice().histories[0];
    network.gauges.push_back(one.rows.back());
    network.histories.push_back({g, one.rows});
  }
  std::vector<std::string> notices;
  const RainTable depths(StepAxis(day("2002-12-02"), std::chrono::hours(24), 41), 7,
                         std::vector<float>(7 * 41, 0));
  settle_histories(network, depths, notices);
  ASSERT_EQ(notices.size(), 6U);
  EXPECT_EQ(notices[5].find("2 more gauges were changed"), 0U) << notices[5];
}

}  // namespace
}  // namespace gaugeloom
