#include "gaugeloom/rain/temperature.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

namespace gaugeloom {
namespace {

const Instant kDay = std::chrono::sys_days{std::chrono::year{2021} / 1 / 10};

Instant at(double hours) { return kDay + Duration(static_cast<long>(hours * 3600e6)); }

RainTable two_gauges() {
  RainTable table(StepAxis(at(1), std::chrono::hours(1), 8), 2);
  for (std::size_t g = 0; g < 2; ++g)
    for (std::size_t h = 0; h < 8; ++h) table.set(g, h, 0);
  return table;
}

std::vector<std::size_t> missing(const RainTable& table, std::size_t gauge) {
  std::vector<std::size_t> hours;
  for (std::size_t h = 0; h < table.step_count(); ++h)
    if (!table.is_measured(gauge, h)) hours.push_back(h);
  return hours;
}

using Hours = std::vector<std::size_t>;

TEST(Temperature, MasksTheHoursAReadingHolds) {
  RainTable table = two_gauges();
  EXPECT_EQ(mask_cold(table, std::vector<TemperatureReading>{{at(2.5), 0, 1.9}}, 2), 4U);
  EXPECT_EQ(missing(table, 0), (Hours{2, 3, 4, 5}));  // from 2:30 to 5:30
  EXPECT_TRUE(missing(table, 1).empty());
}

TEST(Temperature, EndsWithTheNextReading) {
  RainTable table = two_gauges();
  mask_cold(table, std::vector<TemperatureReading>{{at(2), {}, -4}, {at(4), {}, 2.0}}, 2);
  EXPECT_EQ(missing(table, 0), (Hours{2, 3}));
  EXPECT_EQ(missing(table, 1), (Hours{2, 3}));
}

TEST(Temperature, PrefersTheGaugesOwnThermometer) {
  RainTable table = two_gauges();
  mask_cold(table, std::vector<TemperatureReading>{{at(1), {}, -4}, {at(1), 1, 9}}, 2);
  EXPECT_EQ(missing(table, 0), (Hours{1, 2, 3}));
  EXPECT_TRUE(missing(table, 1).empty());
}

TEST(Temperature, TakesTheColdestOfAnHourInAnyOrder) {
  std::vector<TemperatureReading> readings{
      {at(3.2), {}, 5}, {at(3.4), {}, 1}, {at(3.4), {}, 3}, {at(3.6), {}, 6}, {at(5), {}, 6}};
  for (int order = 0; order < 2; ++order) {
    RainTable table = two_gauges();
    EXPECT_EQ(mask_cold(table, readings, 2), 2U);
    EXPECT_EQ(missing(table, 0), (Hours{3}));
    std::reverse(readings.begin(), readings.end());
  }
}

TEST(Temperature, LeavesHoursWithoutAReading) {
  RainTable table = two_gauges();
  EXPECT_EQ(mask_cold(table, {}, 2), 0U);
  EXPECT_EQ(mask_cold(table, std::vector<TemperatureReading>{{at(-9), {}, -20}}, 2), 0U);
}

}  // namespace
}  // namespace gaugeloom
