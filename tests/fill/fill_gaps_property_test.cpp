#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numeric>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

// 14 gauges, 20 days of 10 minutes, with gaps, poor and suspect spells and totals.
struct Scene {
  Network network;
  RainRecord record;
  QualityTable quality;
};

Scene make_scene(std::string_view name) {
  support::SyntheticRainOptions options;
  options.gauges = 14;
  options.steps = 20 * 144;
  options.climate.mean_wait_h = 20;
  const support::SyntheticRain rain = support::synthetic_rain(options);
  Scene scene;
  scene.network = rain.network;
  scene.record.depths = rain.table;
  const auto gaps = random_gaps(scene.record, 3, name);
  scene.record = with_hidden(scene.record, gaps);
  scene.quality = all_good(scene.record.depths);
  const StepAxis& axis = scene.record.depths.axis();
  Random random(name);
  for (std::size_t i = 0; i < gaps.size(); i += 3)
    scene.record.totals.push_back({gaps[i].gauge,
                                   {axis.begin(gaps[i].first), axis.end(gaps[i].last - 1)},
                                   random.exponential(8)});
  for (std::size_t g = 0; g < 14; g += 4)
    for (std::size_t s = 300; s < 400; ++s)
      if (scene.record.depths.is_measured(g, s))
        scene.quality.at(g, s) = g % 8 == 0 ? Quality::poor : Quality::suspect;
  return scene;
}

bool same_bits(std::span<const float> a, std::span<const float> b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size_bytes()) == 0;
}

TEST(FillGapsProperty, KeepsTheLawsOfARecord) {
  const Scene scene = make_scene("laws");
  const FillResult result = fill_gaps(scene.network, scene.record, scene.quality);
  const SeriesRecord& series = result.record;
  EXPECT_TRUE(same_bits(series.observed.values(), scene.record.depths.values()));
  std::size_t estimates = 0;
  for (std::size_t i = 0; i < series.origin.size(); ++i) {
    const float depth = series.depth.values()[i];
    const Quality quality = series.quality.values[i];
    if (series.origin[i] == Origin::measured) {
      ASSERT_EQ(std::memcmp(&depth, &series.observed.values()[i], 4), 0);
      ASSERT_TRUE(std::isnan(series.low_mm[i]) && std::isnan(series.standard_error_mm[i]));
    } else if (series.origin[i] == Origin::none) {
      ASSERT_TRUE(std::isnan(depth));
      ASSERT_EQ(quality, Quality::missing);
    } else {
      ++estimates;
      ASSERT_EQ(quality, Quality::estimate);
      ASSERT_GE(depth, 0);
      ASSERT_LE(series.low_mm[i], depth);
      ASSERT_GE(series.high_mm[i], depth);
      const double thousandths = static_cast<double>(depth) * 1000;
      ASSERT_NEAR(thousandths, std::round(thousandths), 1e-3);
    }
  }
  EXPECT_GT(estimates, 1000U);
}

TEST(FillGapsProperty, TotalsAreKeptToTheThousandth) {
  const Scene scene = make_scene("totals");
  const FillResult result = fill_gaps(scene.network, scene.record, scene.quality);
  std::size_t spread = 0;
  for (const SpreadTotal& total : result.totals) {
    if (total.fate == TotalFate::not_used) continue;
    const AccumulatedTotal& known = scene.record.totals[total.total];
    const auto range = scene.record.depths.axis().within(known.over);
    long sum = 0;
    for (std::size_t s = range.first; s < range.last; ++s)
      sum +=
          std::lround(1000.0 * static_cast<double>(result.record.depth.depth_mm(known.gauge, s)));
    EXPECT_EQ(sum, std::lround(1000 * known.depth_mm));
    ++spread;
  }
  EXPECT_GE(spread, 8U);
}

TEST(FillGapsProperty, TheNumberOfThreadsDoesNotMatter) {
  const Scene scene = make_scene("threads");
  FillOptions options;
  options.threads = 1;
  const FillResult one = fill_gaps(scene.network, scene.record, scene.quality, options);
  options.threads = 3;
  const FillResult three = fill_gaps(scene.network, scene.record, scene.quality, options);
  EXPECT_TRUE(same_bits(one.record.depth.values(), three.record.depth.values()));
  EXPECT_TRUE(same_bits(one.record.high_mm, three.record.high_mm));
  EXPECT_TRUE(same_bits(one.record.standard_error_mm, three.record.standard_error_mm));
  EXPECT_EQ(one.plan.wet_threshold, three.plan.wet_threshold);
}

TEST(FillGapsProperty, TheOrderOfTheGaugesDoesNotMatter) {
  const Scene scene = make_scene("order");
  const std::size_t gauges = scene.network.size();
  const auto turned = [&](std::size_t g) { return gauges - 1 - g; };
  Scene other = scene;
  std::reverse(other.network.gauges.begin(), other.network.gauges.end());
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < scene.record.depths.step_count(); ++s) {
      other.record.depths.set(turned(g), s, scene.record.depths.depth_mm(g, s));
      other.quality.at(turned(g), s) = scene.quality.at(g, s);
    }
  for (AccumulatedTotal& total : other.record.totals) total.gauge = turned(total.gauge);
  const FillResult a = fill_gaps(scene.network, scene.record, scene.quality);
  const FillResult b = fill_gaps(other.network, other.record, other.quality);
  for (std::size_t g = 0; g < gauges; ++g) {
    EXPECT_TRUE(same_bits(a.record.depth.row(g), b.record.depth.row(turned(g)))) << g;
    EXPECT_EQ(a.gauges[g].filled, b.gauges[turned(g)].filled);
    EXPECT_EQ(a.gauges[g].site_ratio, b.gauges[turned(g)].site_ratio);
  }
}

TEST(FillGapsProperty, TheHiddenDepthDoesNotEnterItsEstimate) {
  const Scene scene = make_scene("hidden");
  Scene other = scene;
  for (std::size_t s = 300; s < 400; ++s)  // poor: no donor, no lesson
    if (scene.quality.at(0, s) == Quality::poor) other.record.depths.set(0, s, 77);
  const FillResult a = fill_gaps(scene.network, scene.record, scene.quality);
  const FillResult b = fill_gaps(other.network, other.record, other.quality);
  EXPECT_TRUE(same_bits(a.record.depth.values(), b.record.depth.values()));
}

}  // namespace
}  // namespace gaugeloom
