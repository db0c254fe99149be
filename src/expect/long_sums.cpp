#include "gaugeloom/expect/long_sums.hpp"

#include <algorithm>
#include <cmath>

#include "expect/weighted_median_internal.hpp"
#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastExpectedMm = 2;  // below it a ratio is mostly bucket noise; our choice
constexpr double kPriorBlocks = 16;
constexpr double kMostWeight = 5;

BlockSum sum_block(const RainTable& depths, const ExpectedDepths& expected,
                   const Exclusions& excluded, std::size_t gauge, std::size_t first,
                   std::size_t last) {
  BlockSum block;
  double observed = 0;
  double estimate = 0;
  std::size_t usable = 0;
  for (std::size_t w = first; w < last; ++w) {
    if (excluded.at(gauge, w)) block.accepted = false;
    const float depth = depths.depth_mm(gauge, w);
    const float guess = expected.depth_at(gauge, w);
    if (std::isnan(depth) || std::isnan(guess)) continue;
    observed += depth;
    estimate += guess;
    ++usable;
  }
  block.observed_mm = static_cast<float>(observed);
  block.expected_mm = static_cast<float>(estimate);
  if (last > first) {
    block.usable_share = static_cast<float>(usable) / static_cast<float>(last - first);
  }
  return block;
}

// The log of what the gauge's blocks say its ratio is, the lift included, and how many say it.
struct SiteSample {
  double log_ratio = 0;
  double blocks = 0;
};

SiteSample site_sample(std::span<const BlockSum> blocks, double bucket_mm, double previous) {
  std::vector<WeightedValue> sample;
  const double shift = portable_log(previous);
  for (const BlockSum& b : blocks) {
    if (!b.accepted || b.usable_share < kLeastBlockShare || b.expected_mm < kLeastExpectedMm) {
      continue;
    }
    const double ratio = log_ratio(b.observed_mm, b.expected_mm, bucket_mm) + shift;
    sample.push_back({ratio, std::min(kMostWeight, std::sqrt(double{b.expected_mm}))});
  }
  const auto count = static_cast<double>(sample.size());
  return {weighted_median(std::move(sample)), count};
}

}  // namespace

double log_ratio(double observed_mm, double expected_mm, double bucket_mm) {
  return portable_log((observed_mm + bucket_mm) / (expected_mm + bucket_mm));
}

BlockSums block_sums(const RainTable& depths, const ExpectedDepths& expected,
                     const Exclusions& excluded, std::chrono::seconds block) {
  BlockSums out;
  const std::size_t windows = depths.step_count();
  // The axis of the blocks is that of gathered depths; only its times are needed here.
  const auto length = std::chrono::duration_cast<Duration>(std::max(block, depths.axis().step()));
  const Instant begin = depths.axis().begin(0);
  auto rest = begin.time_since_epoch() % length;
  if (rest < Duration::zero()) rest += length;
  const auto step = std::chrono::duration_cast<std::chrono::seconds>(length);
  for (std::size_t w = 0; w < windows; ++w) {
    const auto index = static_cast<std::size_t>((depths.axis().begin(w) - (begin - rest)) / length);
    while (out.first_window.size() <= index) out.first_window.push_back(w);
  }
  const std::size_t blocks = out.first_window.size();
  out.first_window.push_back(windows);
  out.axis = StepAxis(begin - rest + step, step, blocks);
  out.values.reserve(depths.gauge_count() * blocks);
  const bool last_is_over = out.axis.span().to <= depths.axis().span().to;
  for (std::size_t gauge = 0; gauge < depths.gauge_count(); ++gauge) {
    for (std::size_t b = 0; b < blocks; ++b) {
      out.values.push_back(sum_block(depths, expected, excluded, gauge, out.first_window[b],
                                     out.first_window[b + 1]));
    }
    if (!last_is_over && blocks > 0) out.values.back().usable_share = 0;
  }
  return out;
}

SiteRatios refined_site_ratios(const BlockSums& blocks, std::span<const double> bucket_mm,
                               const SiteRatios& previous) {
  const std::size_t gauges = previous.ratio.size();
  GAUGELOOM_ASSERT(bucket_mm.size() == gauges);
  std::vector<SiteSample> samples(gauges);
  std::vector<WeightedValue> all;
  for (std::size_t gauge = 0; gauge < gauges; ++gauge) {
    samples[gauge] =
        site_sample(blocks.row(gauge), bucket_mm[gauge], previous.lift * previous.ratio[gauge]);
    if (samples[gauge].blocks > 0) all.push_back({samples[gauge].log_ratio, 1});
  }
  const double lift = weighted_median(std::move(all));
  SiteRatios out(gauges);
  out.lift = portable_exp(lift);
  for (std::size_t gauge = 0; gauge < gauges; ++gauge) {
    const SiteSample& s = samples[gauge];
    const double shrunk = (s.log_ratio - lift) * s.blocks / (s.blocks + kPriorBlocks);
    out.ratio[gauge] = std::clamp(portable_exp(shrunk), 1.0 / 3, 3.0);
  }
  return out;
}

}  // namespace gaugeloom
