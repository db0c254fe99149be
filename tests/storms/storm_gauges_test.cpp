#include "gaugeloom/storms/storm_gauges.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/storm_overview.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

// One gauge, 6 hours, 12 mm in the second to the fourth.
struct OneGauge {
  Network network;
  SeriesRecord record;
  std::vector<Storm> storms;

  OneGauge() {
    Gauge gauge;
    gauge.id = "A1";
    network.gauges = {gauge};
    const StepAxis axis(kBegin + std::chrono::hours(1), std::chrono::hours(1), 6);
    record =
        unchecked_record(RainTable(axis, 1, std::vector<float>{0, 6, 0, 6, 0, 0}), Quality::good);
    make_room_for_bounds(record);
    storms = {{"20210304T0000Z", axis.span(), {0, 6}, true}};
  }
  void estimate(std::size_t step) {
    record.quality.at(0, step) = Quality::estimate;
    record.origin[step] = Origin::neighbours;
  }
};

DurationErrors half_to_double() {
  DurationErrors errors;
  errors.durations.push_back({1, {{1, 0.5, 2, 0.4, 100}}, 0.3, 0.1});
  return errors;
}

TEST(StormGauges, MeasuredTotalsHaveTheErrorOfTheGauge) {
  const OneGauge one;
  const StormGauge row = storm_gauges(one.network, one.record, half_to_double(), one.storms)[0];
  EXPECT_EQ(row.total_mm, 12);
  EXPECT_EQ(row.fill_error_mm, 0);
  EXPECT_EQ(row.standard_error_mm, gauge_standard_error_mm(12, 0.2, 5));
  EXPECT_NEAR(row.high_mm, 12 + 1.6448536 * row.standard_error_mm, 1e-6);
  EXPECT_NEAR(row.low_mm, 12 - 1.6448536 * row.standard_error_mm, 1e-6);
  EXPECT_EQ(row.quality, Quality::good);
  ASSERT_TRUE(row.wet.has_value());
  EXPECT_EQ(row.wet->from, kBegin + std::chrono::hours(1));
  EXPECT_EQ(row.wet->to, kBegin + std::chrono::hours(4));
  EXPECT_EQ(row.peaks_mm[4], 6);   // an hour
  EXPECT_EQ(row.peaks_mm[6], 12);  // three hours
}

TEST(StormGauges, EstimatedTotalsHaveTheErrorLearned) {
  OneGauge one;
  for (std::size_t s = 0; s < 6; ++s) one.estimate(s);
  const StormGauge row = storm_gauges(one.network, one.record, half_to_double(), one.storms)[0];
  EXPECT_EQ(row.gauge_error_mm, 0);
  EXPECT_NEAR(row.fill_error_mm, 0.4 * 12, 1e-9);
  EXPECT_NEAR(row.low_mm, 6, 1e-9);
  EXPECT_NEAR(row.high_mm, 24, 1e-9);
  EXPECT_EQ(row.share_filled, 1);
  EXPECT_EQ(row.quality, Quality::estimate);
}

TEST(StormGauges, BothErrorsGoTogetherAsSquares) {
  OneGauge one;
  one.estimate(1);
  const StormGauge row = storm_gauges(one.network, one.record, half_to_double(), one.storms)[0];
  EXPECT_EQ(row.gauge_error_mm, gauge_standard_error_mm(6, 0.2, 5));
  EXPECT_NEAR(row.fill_error_mm, 0.4 * 6, 1e-9);
  EXPECT_NEAR(row.standard_error_mm, std::hypot(row.gauge_error_mm, row.fill_error_mm), 1e-12);
  EXPECT_NEAR(row.low_mm, 12 - std::hypot(3, 1.6448536 * row.gauge_error_mm), 1e-6);
  EXPECT_NEAR(row.share_filled, 1.0 / 6, 1e-12);
}

TEST(StormGauges, AMissingStepLeavesWhatFellAtLeast) {
  OneGauge one;
  one.record.depth.set_missing(0, 2);
  one.record.quality.at(0, 2) = Quality::missing;
  one.record.origin[2] = Origin::none;
  const StormGauge row = storm_gauges(one.network, one.record, half_to_double(), one.storms)[0];
  EXPECT_TRUE(std::isnan(row.total_mm));
  EXPECT_TRUE(std::isnan(row.high_mm));
  EXPECT_TRUE(std::isnan(row.standard_error_mm));
  EXPECT_EQ(row.low_mm, 12);
  EXPECT_EQ(row.quality, Quality::missing);
  const auto overviews = storm_overviews(std::vector<StormGauge>{row}, 1);
  EXPECT_TRUE(std::isnan(overviews[0].mean_mm));
  EXPECT_FALSE(overviews[0].max_gauge.has_value());
  EXPECT_EQ(overviews[0].gauges, 0U);
}

TEST(StormGauges, AddUpToTheStorms) {
  support::SyntheticRainOptions made;
  made.gauges = 16;
  made.steps = 40 * 144;
  const support::SyntheticRain rain = support::synthetic_rain(made);
  RainRecord truth;
  truth.depths = rain.table;
  const RainRecord hidden = with_hidden(truth, storm_gaps(truth, 8, "storms"));
  const FillResult filled = fill_gaps(rain.network, hidden, all_good(hidden.depths));
  const auto storms = find_storms(filled.record).storms;
  ASSERT_GT(storms.size(), 5U);
  const auto rows = storm_gauges(rain.network, filled.record, filled.errors, storms, 1);
  const auto overviews = storm_overviews(rows, 16);
  ASSERT_EQ(overviews.size(), storms.size());
  std::size_t estimated = 0;
  for (std::size_t s = 0; s < storms.size(); ++s) {
    double sum = 0;
    for (std::size_t g = 0; g < 16; ++g) {
      const StormGauge& row = rows[s * 16 + g];
      EXPECT_EQ(row.storm, s);
      EXPECT_EQ(row.gauge, g);
      double steps_mm = 0;
      for (std::size_t t = storms[s].steps.first; t < storms[s].steps.last; ++t)
        steps_mm += static_cast<double>(filled.record.depth.depth_mm(g, t));
      EXPECT_NEAR(row.total_mm, steps_mm, 1e-9);
      EXPECT_LE(0, row.low_mm);
      EXPECT_LE(row.low_mm, row.total_mm);
      EXPECT_LE(row.total_mm, row.high_mm);
      EXPECT_LE(row.total_mm, overviews[s].max_mm);
      EXPECT_EQ(row.fill_error_mm == 0, row.share_filled == 0);
      estimated += row.share_filled > 0 ? 1U : 0U;
      for (std::size_t d = 0; d < row.peaks_mm.size(); ++d)
        EXPECT_FALSE(row.peaks_mm[d] > overviews[s].peaks_mm[d]);
      sum += row.total_mm;
    }
    EXPECT_NEAR(overviews[s].mean_mm * static_cast<double>(overviews[s].gauges), sum, 1e-9);
  }
  EXPECT_GT(estimated, 5U);
  const auto again = storm_gauges(rain.network, filled.record, filled.errors, storms, 3);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(rows[i].total_mm, again[i].total_mm);
    EXPECT_EQ(rows[i].standard_error_mm, again[i].standard_error_mm);
  }
}

}  // namespace
}  // namespace gaugeloom
