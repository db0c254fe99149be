#include "gaugeloom/tips/correct_gauge.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/tips/corrected_steps.hpp"
#include "gaugeloom/tips/tip_months.hpp"

namespace gaugeloom {
namespace {

GaugeFacts facts(double bucket_mm = 0.2) {
  GaugeFacts known;
  known.rows.emplace_back();
  known.rows.back().id = "A";
  known.rows.back().bucket_mm = bucket_mm;
  return known;
}

TEST(CorrectGauge, ChoosesTheCorrectionByTheEvidence) {
  GaugeFacts known = facts();
  CorrectOptions options;
  EXPECT_EQ(correction_of(known, options), IntensityCorrection::tip_loss);
  known.rows[0].siphon_ml = 12;
  EXPECT_EQ(correction_of(known, options), IntensityCorrection::none);
  known.table = CalibrationTable({{50, 1.02}});
  EXPECT_EQ(correction_of(known, options), IntensityCorrection::table);
  options.correct_intensity = false;
  EXPECT_EQ(correction_of(known, options), IntensityCorrection::none);
  known.declared_corrected = true;
  EXPECT_EQ(correction_of(known, options), IntensityCorrection::declared);
}

TEST(CorrectGauge, OfNoTipIsNothing) {
  const auto corrected = correct_gauge({}, facts());
  EXPECT_TRUE(corrected.counters.empty());
  EXPECT_TRUE(corrected.inflow.inflows.empty());
  EXPECT_TRUE(tip_months(corrected).empty());
}

// A train with bounce, repeated rows, rows out of order and a visit.
struct Train {
  std::vector<Instant> stamps;
  GaugeFacts known = facts(0.254);
};
Train odd_train(Random& random, int kind) {
  Train train;
  const std::int64_t unit_us = kind == 0 ? 1 : kind == 1 ? 1'000'000 : 60'000'000;
  double at = 1e9 + random.uniform(0, 1e6);
  for (std::size_t i = 0, count = 2 + random.below(800); i < count; ++i) {
    at += random.exponential(random.chance(0.7) ? 20 : 5000);
    const auto us = static_cast<std::int64_t>(1e6 * at) / unit_us * unit_us;
    train.stamps.emplace_back(Duration(us));
    if (random.chance(0.05)) train.stamps.emplace_back(Duration(us + 30'000));
    if (random.chance(0.05)) train.stamps.push_back(train.stamps.back());
    if (random.chance(0.02) && i > 5) std::swap(train.stamps.back(), train.stamps[i / 2]);
  }
  const Instant visit = train.stamps[train.stamps.size() / 3];
  train.known.visits = {{visit, visit + std::chrono::minutes(20)}};
  return train;
}

double sum(std::span<const float> values) {
  return std::accumulate(values.begin(), values.end(), 0.0,
                         [](double a, float b) { return a + static_cast<double>(b); });
}

// Everything that went in comes out, or stands in the log with its fate, to the last tip.
TEST(CorrectGauge, LosesNoWater) {
  Random random("LosesNoWater");
  for (int round = 0; round < 60; ++round) {
    SCOPED_TRACE(round);
    const Train train = odd_train(random, round % 3);
    const auto input_mm = 0.254 * static_cast<double>(train.stamps.size());
    TipRecord record{{""}, {{{{0, train.stamps}}}}};
    const auto corrected = correct_gauge(record.gauges[0], train.known);
    const CounterTips& counter = corrected.counters[0];
    EXPECT_EQ(counter.tips.fates.size(), train.stamps.size());
    double removed_mm = 0;
    for (std::size_t i = 0; i < counter.tips.fates.size(); ++i)
      if (counter.tips.fates[i] != TipFate::kept)
        removed_mm += static_cast<double>(counter.counted_mm[i]);
    double counted_mm = 0;
    double corrected_mm = 0;
    for (const Inflow& one : corrected.inflow.inflows) {
      counted_mm += one.counted_mm;
      corrected_mm += one.corrected_mm;
    }
    EXPECT_NEAR(counted_mm + removed_mm, input_mm, 1e-4);  // floats in the log
    EXPECT_NEAR(sum(counter.corrected_mm), corrected_mm, 1e-4);

    for (const int step_s : {60, 300, 3600, 86400}) {
      const StepAxis axis =
          tip_axis(record, std::chrono::seconds(step_s), std::chrono::minutes(540), {});
      StepTables tables{RainTable(axis, 1), RainTable(axis, 1)};
      const auto refused = write_steps(corrected, train.known, std::nullopt, 0, tables);
      double out_mm = 0;
      for (std::size_t step = 0; step < axis.count(); ++step)
        if (tables.corrected.is_measured(0, step))
          out_mm += static_cast<double>(tables.corrected.depth_mm(0, step));
      for (const RefusedDepth& one : refused) out_mm += static_cast<double>(one.depth_mm);
      EXPECT_NEAR(out_mm, corrected_mm, 0.002);
    }
    double months_mm = 0;
    std::size_t months_tips = 0;
    for (const TipMonth& month : tip_months(corrected)) {
      months_mm += month.corrected_mm;
      months_tips += month.all_tips();
      const double shares = std::accumulate(month.share.begin(), month.share.end(), 0.0);
      EXPECT_TRUE(shares == 0 || std::abs(shares - 1) < 1e-9);
    }
    EXPECT_NEAR(months_mm, corrected_mm, 1e-9);
    EXPECT_EQ(months_tips, train.stamps.size());
  }
}

}  // namespace
}  // namespace gaugeloom
