#include "gaugeloom/fill/reporting_totals.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

SeriesRecord hourly_record(const char* first_end, std::size_t hours, float depth_mm) {
  RainTable table(StepAxis(parse_iso8601(first_end)->utc(), std::chrono::hours{1}, hours), 1);
  for (std::size_t s = 0; s < hours; ++s) table.set(0, s, depth_mm);
  SeriesRecord record = unchecked_record(table);
  make_room_for_bounds(record);
  return record;
}

void estimate(SeriesRecord& record, std::size_t step, float depth_mm, Origin origin) {
  record.depth.set(0, step, depth_mm);
  record.quality.at(0, step) = Quality::estimate;
  record.origin[step] = origin;
  record.low_mm[step] = 0;
}

DurationErrors half_to_double() {
  DurationErrors errors;
  errors.durations.push_back({1, {{1, 0.5, 2, 0.5, 100}}, 0.3, 0.1});
  return errors;
}

const ReportingTotal& find(const std::vector<ReportingTotal>& totals, ReportingPeriod period,
                           const char* from) {
  for (const ReportingTotal& total : totals)
    if (total.period == period && total.over.from == parse_iso8601(from)->utc()) return total;
  throw std::runtime_error(from);
}

TEST(ReportingTotals, MeasuredDaysHaveEqualBounds) {
  const auto totals = reporting_totals(hourly_record("2024-02-28T01:00Z", 48, 0.5F), {});
  const ReportingTotal& day = find(totals, ReportingPeriod::day, "2024-02-28T00:00Z");
  EXPECT_EQ(day.depth_mm, 12);
  EXPECT_EQ(day.low_mm, 12);
  EXPECT_EQ(day.high_mm, 12);
  EXPECT_EQ(day.share_missing, 0);
  EXPECT_EQ(day.share_estimated, 0);
  EXPECT_EQ(day.over.to, parse_iso8601("2024-02-29T00:00Z")->utc());
}

TEST(ReportingTotals, WhatIsOutsideTheRecordIsMissing) {
  const auto totals = reporting_totals(hourly_record("2024-02-28T01:00Z", 48, 0.5F), {});
  const ReportingTotal& month = find(totals, ReportingPeriod::month, "2024-02-01T00:00Z");
  EXPECT_TRUE(std::isnan(month.depth_mm));
  EXPECT_TRUE(std::isnan(month.high_mm));
  EXPECT_EQ(month.low_mm, 24);  // fell at least
  EXPECT_NEAR(month.share_missing, 1 - 2.0 / 29, 1e-12);
  EXPECT_EQ(find(totals, ReportingPeriod::year, "2024-01-01T00:00Z").low_mm, 24);
}

TEST(ReportingTotals, EstimatedHoursCarryTheErrorOfTheirDuration) {
  SeriesRecord record = hourly_record("2024-02-28T01:00Z", 24, 0.5F);
  estimate(record, 3, 4, Origin::neighbours);
  estimate(record, 4, 2, Origin::neighbours);
  const auto totals = reporting_totals(record, half_to_double());
  const ReportingTotal& day = find(totals, ReportingPeriod::day, "2024-02-28T00:00Z");
  EXPECT_EQ(day.depth_mm, 17);
  EXPECT_EQ(day.low_mm, 11 + 3);
  EXPECT_EQ(day.high_mm, 11 + 12);
  EXPECT_NEAR(day.share_estimated, 2.0 / 24, 1e-12);
}

TEST(ReportingTotals, ASpreadTotalInsideCarriesNoErrorACutOneDoes) {
  SeriesRecord record = hourly_record("2024-02-28T01:00Z", 48, 0);
  for (const std::size_t step : {10, 11, 23, 24}) estimate(record, step, 1, Origin::spread_total);
  const auto totals = reporting_totals(record, half_to_double());
  const ReportingTotal& day = find(totals, ReportingPeriod::day, "2024-02-28T00:00Z");
  EXPECT_EQ(day.depth_mm, 3);
  EXPECT_EQ(day.low_mm, 2.5);  // the third one belongs to a total that goes on
  EXPECT_EQ(day.high_mm, 4);
  EXPECT_NEAR(day.share_estimated, 3.0 / 24, 1e-12);
}

TEST(ReportingTotals, DaysBeginWhereTheUserSays) {
  const auto totals = reporting_totals(hourly_record("2024-02-28T10:00Z", 24, 1), {},
                                       {std::chrono::hours{9}, {}, false});
  EXPECT_EQ(find(totals, ReportingPeriod::day, "2024-02-28T09:00Z").depth_mm, 24);
  EXPECT_EQ(totals.size(), 3U);  // one day, one month, one year
  EXPECT_THROW(reporting_totals(hourly_record("2024-02-28T10:00Z", 2, 1), {},
                                {std::chrono::hours{24}, {}, false}),
               Error);
}

TEST(ReportingTotals, WindowsBeginWithTheRainDay) {
  const auto totals = reporting_totals(hourly_record("2024-02-28T10:00Z", 24, 1), {},
                                       {std::chrono::hours{9}, {std::chrono::hours{6}}, false});
  EXPECT_EQ(totals.front().period, ReportingPeriod::window);
  EXPECT_EQ(totals.front().over.from, parse_iso8601("2024-02-28T09:00Z")->utc());
  EXPECT_EQ(totals.front().over.to, parse_iso8601("2024-02-28T15:00Z")->utc());
  EXPECT_EQ(totals.front().depth_mm, 6);
  EXPECT_EQ(totals[3].over.to, parse_iso8601("2024-02-29T09:00Z")->utc());
  EXPECT_EQ(totals[4].period, ReportingPeriod::day);
}

TEST(ReportingTotals, StormsArePartedByDryHours) {
  SeriesRecord record = hourly_record("2024-02-28T01:00Z", 24, 0);
  for (const std::size_t hour : {2UL, 3UL, 7UL, 14UL}) record.depth.set(0, hour, 2);
  const auto totals = reporting_totals(record, {}, {{}, {}, true});
  std::vector<double> storms_mm;
  for (const ReportingTotal& total : totals)
    if (total.period == ReportingPeriod::storm) storms_mm.push_back(total.depth_mm);
  EXPECT_EQ(storms_mm, (std::vector<double>{6, 2}));  // three dry hours, then six
}

TEST(ReportingTotals, OddWindowsAreRefused) {
  const SeriesRecord record = hourly_record("2024-02-28T01:00Z", 24, 1);
  EXPECT_THROW(reporting_totals(record, {}, {{}, {std::chrono::hours{5}}, false}), Error);
  EXPECT_THROW(reporting_totals(record, {}, {{}, {std::chrono::minutes{30}}, false}), Error);
}

}  // namespace
}  // namespace gaugeloom
