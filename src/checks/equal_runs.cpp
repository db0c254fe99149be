#include <algorithm>
#include <array>
#include <cmath>

#include "checks/dial_internal.hpp"
#include "checks/equal_runs_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLeastSteps = 6;
constexpr std::size_t kClasses = 5;  // of 1, 2, 3, 4 and more buckets
constexpr double kLeastScale = 1e-9;
constexpr std::size_t kDryGapHours = 6;
constexpr double kRainMm = 0.05;  // expected in an hour of a storm

using Runs = std::vector<std::vector<EqualRun>>;

std::size_t class_of(float depth_mm, double bucket_mm) {
  const double buckets = std::max(1.0, depth_mm / bucket_mm + 0.5);
  return std::min(kClasses, static_cast<std::size_t>(buckets)) - 1;
}

std::vector<EqualRun> equal_runs(const CheckContext& context, std::size_t gauge) {
  const auto row = context.steps.row(gauge);
  std::vector<EqualRun> runs;
  for (std::size_t i = 0; i < row.size();) {
    std::size_t end = i + 1;
    if (row[i] > 0) {
      while (end < row.size() && row[end] == row[i]) ++end;
      EqualRun run;
      run.gauge = gauge;
      run.first = i;
      run.last = end;
      run.size_class = class_of(row[i], context.network.gauges[gauge].bucket_mm);
      run.observed_mm = static_cast<double>(row[i]) * static_cast<double>(run.length());
      runs.push_back(run);
    }
    i = end;
  }
  return runs;
}

// How often a step is followed by exactly the same depth, by class; runs of more than 12 steps
// teach only their first 12.
std::array<double, kClasses> same_again(const Runs& runs) {
  std::array<double, kClasses> again{};
  std::array<double, kClasses> steps{};
  for (const auto& of_gauge : runs) {
    for (const EqualRun& run : of_gauge) {
      const auto length = static_cast<double>(std::min<std::size_t>(run.length(), 12));
      again[run.size_class] += length - 1;
      steps[run.size_class] += length;
    }
  }
  std::array<double, kClasses> q{};
  for (std::size_t c = 0; c < kClasses; ++c) {
    q[c] = std::clamp((again[c] + 5) / (steps[c] + 20), 0.02, 0.8);
  }
  return q;
}

// Its scales are the nats of one more equal step, by class of size.
LearnedThreshold learn(const CheckContext& context, const Runs& runs) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::stuck, kClasses, kLeastScale))
    return *frozen;
  std::vector<double> nats;
  for (const double q : same_again(runs)) nats.push_back(-portable_log(q));
  std::vector<double> peaks;
  for (const auto& of_gauge : runs) {
    for (const EqualRun& run : of_gauge) {
      peaks.push_back(static_cast<double>(run.length() - 1) * nats[run.size_class]);
    }
  }
  const double rate =
      dial_share(FindingKind::stuck) * context.options.provisional_calls_per_gauge_year;
  const PeakTail tail{.base = 3, .prior_scale = 1, .prior_peaks = 20, .least = 24, .most = 40};
  const auto level = peak_level(std::move(peaks), context.gauge_years, rate, tail);
  return {FindingKind::stuck, level.level, 2 * level.level, level.scale, level.peaks, nats};
}

double expected_in(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const double expected = context.expected.depth_at(gauge, hour);
  return std::isnan(expected) ? 0 : expected;
}

void weigh_rain(const CheckContext& context, EqualRun& run) {
  const StepAxis& steps = context.steps.axis();
  const auto over =
      context.hours.axis().touching({steps.begin(run.first), steps.end(run.last - 1)});
  std::size_t first = over.first;
  std::size_t dry = 0;
  for (std::size_t h = over.first; h-- > 0 && dry < kDryGapHours;) {
    dry = expected_in(context, run.gauge, h) < kRainMm ? dry + 1 : 0;
    if (dry == 0) first = h;
  }
  for (std::size_t h = first; h < over.last; ++h) {
    const double expected = expected_in(context, run.gauge, h);
    run.storm_mm += expected;
    if (h >= over.first) run.expected_mm += expected;
  }
}

}  // namespace

Finding finding_of(const CheckContext& context, const EqualRun& run, FindingKind kind,
                   double confirmed_score) {
  const StepAxis& axis = context.steps.axis();
  Finding finding;
  finding.gauge = run.gauge;
  finding.kind = kind;
  finding.tier = run.score >= confirmed_score ? Tier::confirmed : Tier::provisional;
  finding.from = axis.begin(run.first);
  if (run.last < axis.count()) finding.to = axis.end(run.last - 1);
  finding.called = axis.end(run.called);
  finding.score = run.score;
  finding.observed_mm = run.observed_mm;
  finding.expected_mm = run.expected_mm;
  return finding;
}

ScoreGrowth growth_of(const CheckContext& context, const EqualRun& run,
                      const LearnedThreshold& level) {
  ScorePath path;
  for (std::size_t more = 0; more < run.length(); ++more)
    path.push_back({run.first + more, static_cast<double>(more) * level.scales.at(run.size_class)});
  const StepAxis& axis = context.steps.axis();
  return growth_along(axis, path, level, axis.end(run.called));
}

EqualRuns find_equal_runs(const CheckContext& context) {
  Runs all;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge)
    all.push_back(equal_runs(context, gauge));
  EqualRuns out;
  out.threshold = learn(context, all);
  const double level = out.threshold.provisional;
  for (const auto& of_gauge : all) {
    for (EqualRun run : of_gauge) {
      const double nats = out.threshold.scales.at(run.size_class);
      run.score = static_cast<double>(run.length() - 1) * nats;
      if (run.length() < kLeastSteps || run.score < level) continue;
      const auto after = std::max(static_cast<std::size_t>(level / nats) + 2, kLeastSteps);
      run.called = run.first + std::min(after, run.length()) - 1;
      weigh_rain(context, run);
      out.runs.push_back(run);
    }
  }
  return out;
}

}  // namespace gaugeloom
