#include "gaugeloom/checks/double_count.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"

namespace gaugeloom {
namespace {

constexpr double kOffLattice = 0.1;  // of a bucket: what is farther from a whole number is not even
constexpr double kStrayOdd = 0.02;   // of the steps of a doubled gauge
constexpr double kMostOdd = 0.08;    // in a run that is called: more is a reading made of halves
constexpr double kMostlyEven = 0.9;
constexpr double kLeastEven = 1e-9;
constexpr double kRunEndNats = 8;  // three stray steps
constexpr double kLeastMm = 5;
constexpr double kConfirmedMm = 20;
constexpr double kLeastRatio = 1.5;
constexpr double kMostRatio = 2.7;

bool is_even(float depth_mm, double bucket_mm) {
  const double pairs = depth_mm / (2 * bucket_mm);
  return pairs >= 0.5 && std::abs(pairs - std::round(pairs)) * 2 <= kOffLattice;
}

struct Counts {
  double wet = 0;
  double even = 0;
};

Counts counts_of(const CheckContext& context, std::size_t gauge) {
  Counts counts;
  const double bucket_mm = context.network.gauges[gauge].bucket_mm;
  for (const float depth : context.steps.row(gauge)) {
    if (!(depth > 0)) continue;
    ++counts.wet;
    if (is_even(depth, bucket_mm)) ++counts.even;
  }
  return counts;
}

// The share of even steps at the middle gauge: doubled ones are few.
double even_share(const CheckContext& context) {
  std::vector<Counts> counts(context.network.size());
  parallel_for(counts.size(), context.options.threads,
               [&](std::size_t gauge) { counts[gauge] = counts_of(context, gauge); });
  std::vector<double> shares;
  for (const Counts& c : counts)
    if (c.wet > 0) shares.push_back((c.even + 2) / (c.wet + 5));  // 0.4 for five steps; our choice
  if (shares.empty()) return 1;
  std::sort(shares.begin(), shares.end());
  return shares[shares.size() / 2];
}

struct Levels {
  double provisional = std::numeric_limits<double>::infinity();
  double confirmed = std::numeric_limits<double>::infinity();
};

struct Run {
  std::size_t first = 0;  // steps [first, last)
  std::size_t last = 0;
  bool open = false;
  double peak = 0;
  std::size_t wet_steps = 0;
  std::size_t odd_steps = 0;
  std::optional<std::size_t> called;
  bool confirmed = false;
  ScorePath path;  // of its wet steps; when asked for
};

class Walk {
 public:
  Walk(const CheckContext& context, std::size_t gauge, double even, const Levels& levels,
       bool keeps_path)
      : context_(context),
        gauge_(gauge),
        levels_(levels),
        keeps_path_(keeps_path),
        even_nats_(portable_log((1 - kStrayOdd) / even)),
        odd_nats_(portable_log(kStrayOdd / (1 - even))) {}

  std::vector<Run> runs() {
    const auto row = context_.steps.row(gauge_);
    const double bucket_mm = context_.network.gauges[gauge_].bucket_mm;
    for (std::size_t step = 0; step < row.size(); ++step)
      if (row[step] > 0) add(step, is_even(row[step], bucket_mm));
    run_.open = true;
    close();
    return std::move(runs_);
  }

 private:
  void add(std::size_t step, bool even) {
    score_ += even ? even_nats_ : odd_nats_;
    if (score_ <= 0 || score_ < run_.peak - kRunEndNats) return close();
    if (run_.wet_steps == 0) run_.first = step;
    ++run_.wet_steps;
    if (!even) ++run_.odd_steps;
    if (keeps_path_) run_.path.push_back({step, score_});
    if (score_ <= run_.peak) return;
    run_.peak = score_;
    run_.last = step + 1;
    if (score_ >= levels_.provisional) judge(step);
  }

  void judge(std::size_t step) {
    if (run_.confirmed || odd_share() > kMostOdd) return;
    const DepthPair depths = neighbours_say(step);
    const double ratio = depths.observed_mm / depths.expected_mm;
    if (depths.expected_mm < kLeastMm || ratio < kLeastRatio || ratio > kMostRatio) return;
    if (!run_.called) run_.called = step;
    run_.confirmed = score_ >= levels_.confirmed && depths.expected_mm >= kConfirmedMm;
  }

  double odd_share() const {
    return static_cast<double>(run_.odd_steps) / static_cast<double>(run_.wet_steps);
  }

  // Over the whole hours of the run so far, without the gauge's own ratio: it may always have
  // counted twice.
  DepthPair neighbours_say(std::size_t step) {
    const Instant from = context_.steps.axis().begin(run_.first);
    const Instant to = context_.steps.axis().end(step);
    const StepAxis& hours = context_.hours.axis();
    const auto hour = [&](Instant t) {
      return static_cast<std::size_t>((t - hours.begin(0)) / hours.step());
    };
    DepthPair depths = depths_over(context_, gauge_, hour(from), hour(to));
    depths.expected_mm /= context_.site_ratio[gauge_];
    return depths;
  }

  void close() {
    if (run_.peak > 0) runs_.push_back(std::move(run_));
    run_ = Run{};
    score_ = 0;
  }

  const CheckContext& context_;
  std::size_t gauge_;
  Levels levels_;
  bool keeps_path_;
  double even_nats_;
  double odd_nats_;
  std::vector<Run> runs_;
  Run run_;
  double score_ = 0;
};

std::vector<std::vector<Run>> all_runs(const CheckContext& context, double even,
                                       const Levels& levels) {
  std::vector<std::vector<Run>> runs(context.network.size());
  parallel_for(runs.size(), context.options.threads, [&](std::size_t gauge) {
    runs[gauge] = Walk(context, gauge, even, levels, false).runs();
  });
  return runs;
}

// Its scale is the share of even steps.
LearnedThreshold learn(const CheckContext& context) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::double_count, 1, kLeastEven))
    return *frozen;
  const double even = even_share(context);
  std::vector<double> peaks;
  if (even <= kMostlyEven)
    for (const auto& of_gauge : all_runs(context, even, {}))
      for (const Run& run : of_gauge) peaks.push_back(run.peak);
  // A sum of log-likelihood ratios has the tail exp(-S).
  const PeakTail tail{.base = 3, .prior_scale = 1, .prior_peaks = 20, .least = 12, .most = 24};
  LearnedThreshold threshold = dialled_threshold(context, FindingKind::double_count,
                                                 std::move(peaks), context.gauge_years, tail, 2);
  threshold.scales = {even};
  return threshold;
}

Finding made(const CheckContext& context, std::size_t gauge, const Run& run, double even) {
  const StepAxis& axis = context.steps.axis();
  const StepAxis& hours = context.hours.axis();
  const auto hour_of = window_of_step(axis, hours);
  const std::size_t first = hour_of[run.first];
  const std::size_t last = hour_of[run.last - 1] + 1;
  Finding finding = finding_over(context, FindingKind::double_count, gauge, first, last);
  finding.expected_mm /= context.site_ratio[gauge];
  finding.tier = run.confirmed ? Tier::confirmed : Tier::provisional;
  finding.from = axis.begin(run.first);
  if (!run.open) finding.to = axis.end(run.last - 1);
  finding.called = axis.end(*run.called);
  finding.score = run.peak;
  finding.reason = fmt::format(
      "{} of {} wet steps held an even number of buckets, where healthy gauges have {}, and it "
      "read "
      "{:.1f} times what its neighbours lead us to expect: every tip was counted twice. Held "
      "against {}.",
      run.wet_steps - run.odd_steps, run.wet_steps, percent_text(even),
      finding.observed_mm / finding.expected_mm,
      neighbours_text(context, gauge, finding.neighbours));
  finding.innocent_explanation =
      "The bucket may hold twice what the list of gauges says, on a site that is wetter too.";
  return finding;
}

ScoreGrowth growth_of(const CheckContext& context, const Run& run, const LearnedThreshold& level) {
  const StepAxis& axis = context.steps.axis();
  return growth_along(axis, run.path, level, axis.end(*run.called));
}

bool is_called(const Run& run) { return run.called.has_value(); }

}  // namespace

CheckOutcome find_double_count(const CheckContext& context) {
  CheckOutcome out;
  out.threshold = learn(context);
  const double even = out.threshold->scales.at(0);
  if (even > kMostlyEven) return out;
  const Levels levels{out.threshold->provisional, out.threshold->confirmed};
  auto runs = all_runs(context, even, levels);
  for (std::size_t gauge = 0; gauge < runs.size(); ++gauge) {
    const bool again = context.keep_growth && std::ranges::any_of(runs[gauge], is_called);
    if (again) runs[gauge] = Walk(context, gauge, even, levels, true).runs();
    for (const Run& run : runs[gauge]) {
      if (!is_called(run)) continue;
      out.findings.push_back(made(context, gauge, run, even));
      if (context.keep_growth) out.growth.push_back(growth_of(context, run, *out.threshold));
    }
  }
  return out;
}

}  // namespace gaugeloom
