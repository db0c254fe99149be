#include "gaugeloom/rain/outage.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

// Two gauges, 12 steps of 10 minutes from 10:00; zeros, but 0.2 mm of the first at 10:50 to 11:00.
RainRecord record() {
  RainRecord record;
  record.depths = RainTable(StepAxis(at("2024-03-01T10:10Z"), std::chrono::minutes(10), 12), 2,
                            std::vector<float>(24, 0.0F));
  record.depths.set(0, 5, 0.2F);
  record.quality = QualityTable(2, 12, Quality::good);
  return record;
}

TEST(Outage, MakesZerosMissingAndKeepsWhatWasCounted) {
  RainRecord made = record();
  const RainTable& rain = made.depths;
  const Outage outage{0, {at("2024-03-01T10:35Z"), at("2024-03-01T11:10Z")}, "battery"};
  const MaskedSteps masked = mask_outages(made, std::vector{outage});
  EXPECT_EQ(masked.zeros, 3U);  // ending at 10:40 (in part), 10:50 and 11:10
  EXPECT_EQ(masked.with_rain, 1U);
  for (std::size_t step = 0; step < 12; ++step) {
    EXPECT_EQ(rain.is_measured(0, step), step != 3 && step != 4 && step != 6) << step;
    EXPECT_EQ(made.quality.at(0, step) == Quality::missing, !rain.is_measured(0, step)) << step;
    EXPECT_TRUE(rain.is_measured(1, step));
  }
  EXPECT_EQ(rain.depth_mm(0, 5), 0.2F);
}

TEST(Outage, MayBeginBeforeTheRecordAndLastBeyondIt) {
  RainRecord made = record();
  const RainTable& rain = made.depths;
  const std::vector<Outage> outages = {{1, {at("2020-01-01T00:00Z"), Instant::max()}, ""},
                                       {0, {at("2020-01-01T00:00Z"), at("2021-01-01T00:00Z")}, ""}};
  EXPECT_EQ(mask_outages(made, outages).zeros, 12U);
  EXPECT_FALSE(rain.is_measured(1, 11));
  EXPECT_TRUE(rain.is_measured(0, 0));
}

TEST(Outage, TakesAnEmptyTable) {
  RainRecord empty;
  empty.depths = RainTable(StepAxis(at("2024-03-01T10:10Z"), std::chrono::minutes(10), 0), 1);
  EXPECT_EQ(
      mask_outages(empty, std::vector{Outage{0, {at("2024-03-01T10:00Z"), Instant::max()}, ""}})
          .zeros,
      0U);
}

}  // namespace
}  // namespace gaugeloom
