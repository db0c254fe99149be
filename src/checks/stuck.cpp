#include "gaugeloom/checks/stuck.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLeastSteps = 6;
constexpr std::size_t kClasses = 5;  // of 1, 2, 3, 4 and more buckets

struct EqualRun {
  std::size_t first = 0;  // steps [first, last)
  std::size_t last = 0;
  std::size_t size_class = 0;
  std::size_t length() const { return last - first; }
};

std::size_t class_of(float depth_mm, double bucket_mm) {
  const double buckets = std::max(1.0, depth_mm / bucket_mm + 0.5);
  return std::min(kClasses, static_cast<std::size_t>(buckets)) - 1;
}

std::vector<EqualRun> equal_runs(std::span<const float> row, double bucket_mm) {
  std::vector<EqualRun> runs;
  for (std::size_t i = 0; i < row.size();) {
    std::size_t end = i + 1;
    if (row[i] > 0) {
      while (end < row.size() && row[end] == row[i]) ++end;
      runs.push_back({i, end, class_of(row[i], bucket_mm)});
    }
    i = end;
  }
  return runs;
}

// How often a step is followed by exactly the same depth, by class; runs of more than 12 steps
// teach only their first 12.
std::array<double, kClasses> same_again(const std::vector<std::vector<EqualRun>>& runs) {
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

Finding made(const CheckContext& context, std::size_t gauge, const EqualRun& run, double score,
             const LearnedThreshold& level, std::size_t called_after) {
  const StepAxis& axis = context.steps.axis();
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::stuck;
  finding.tier = score >= level.confirmed ? Tier::confirmed : Tier::provisional;
  finding.from = axis.begin(run.first);
  if (run.last < axis.count()) finding.to = axis.end(run.last - 1);
  finding.called = axis.end(run.first + std::min(called_after, run.length()) - 1);
  finding.score = score;
  const double depth = context.steps.depth_mm(gauge, run.first);
  finding.observed_mm = depth * static_cast<double>(run.length());
  finding.expected_mm = std::numeric_limits<double>::quiet_NaN();
  finding.reason = fmt::format(
      "{:.3f} mm in each of {} steps on end, over {}: rain does not repeat itself that long.",
      depth, run.length(), span_text(axis.end(run.last - 1) - finding.from));
  finding.innocent_explanation =
      "Drizzle of a bucket a step, or a longer total spread evenly over its steps.";
  return finding;
}

using Runs = std::vector<std::vector<EqualRun>>;

// Its scales are the nats of one more equal step, by class of size.
LearnedThreshold learn(const CheckContext& context, const Runs& runs) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::stuck)) return *frozen;
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

}  // namespace

CheckOutcome find_stuck(const CheckContext& context) {
  Runs runs;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    runs.push_back(equal_runs(context.steps.row(gauge), context.network.gauges[gauge].bucket_mm));
  }
  CheckOutcome out;
  out.threshold = learn(context, runs);
  const double level = out.threshold->provisional;
  for (std::size_t gauge = 0; gauge < runs.size(); ++gauge) {
    for (const EqualRun& run : runs[gauge]) {
      const double nats = out.threshold->scales.at(run.size_class);
      const double score = static_cast<double>(run.length() - 1) * nats;
      if (run.length() < kLeastSteps || score < level) continue;
      const auto after = static_cast<std::size_t>(level / nats) + 2;
      out.findings.push_back(
          made(context, gauge, run, score, *out.threshold, std::max(after, kLeastSteps)));
    }
  }
  return out;
}

}  // namespace gaugeloom
