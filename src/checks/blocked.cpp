#include "gaugeloom/checks/blocked.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr double kStrayTipNats = 3;
constexpr double kGoodTipBuckets = 1.5;
constexpr double kGoodTipShare = 0.3;
constexpr double kStormCapNats = 4;
constexpr double kStormNats = 1;  // a storm that gave less is no second witness
constexpr std::size_t kDryGapHours = 6;
constexpr std::size_t kLeastStorms = 2;
constexpr std::size_t kOneShowerHours = 12;  // fewer telling hours in one storm: it may have been
constexpr double kOneShowerFactor = 0.8;     // a hole in that storm; our choice
constexpr double kLeastMissingMm = 2;

// What a dry hour of this gauge says; less where its neighbours are far.
double dry_nats(const CheckContext& context, std::size_t gauge, std::size_t hour, bool dry_before) {
  return context.around.closeness[gauge] *
         context.miss.nats(gauge, context.expected.depth_at(gauge, hour),
                           context.expected.wet_at(gauge, hour), dry_before);
}

struct Levels {
  double provisional = std::numeric_limits<double>::infinity();
  double confirmed = std::numeric_limits<double>::infinity();
};

struct Run {
  std::size_t first = 0;  // hours [first, last)
  std::size_t last = 0;
  bool open = false;  // lasts to the end of the record
  double peak = 0;
  double capped_peak = 0;  // while at least two storms spoke
  std::size_t storms = 0;
  std::optional<std::size_t> called;     // hour
  std::optional<std::size_t> confirmed;  // hour
  ScorePath path;                        // of hours that spoke; when asked for
};

// Walks along one gauge and yields its runs without a good tip.
class Walk {
 public:
  Walk(const CheckContext& context, std::size_t gauge, const Levels& levels, bool keeps_path)
      : context_(context),
        gauge_(gauge),
        bucket_mm_(context.network.gauges[gauge].bucket_mm),
        levels_(levels),
        keeps_path_(keeps_path) {}

  std::vector<Run> runs() {
    const std::size_t hours = context_.hours.step_count();
    for (std::size_t hour = 0; hour < hours; ++hour) step(hour);
    run_.open = true;
    close(hours, hours);
    return std::move(runs_);
  }

 private:
  void step(std::size_t hour) {
    const double observed = context_.hours.depth_mm(gauge_, hour);
    const double expected = context_.expected.depth_at(gauge_, hour);
    if (!std::isnan(observed)) {
      if (is_good_tip(observed, expected)) {
        close(hour, hour + 1);
      } else if (observed > 0) {
        nats_ = std::max(0.0, nats_ - kStrayTipNats);
        storm_ = std::max(0.0, storm_ - kStrayTipNats);
        if (keeps_path_) run_.path.push_back({hour, score()});
      } else if (!std::isnan(expected)) {
        add(hour, expected);
      }
    }
    memory_.push(observed, expected);
  }

  bool is_good_tip(double observed, double expected) const {
    if (!(observed > 0)) return false;
    return observed > kGoodTipBuckets * bucket_mm_ || std::isnan(expected) ||
           observed >= kGoodTipShare * expected;
  }

  void add(std::size_t hour, double expected) {
    dry_hours_ = expected < kMissDepthEdgesMm[0] ? dry_hours_ + 1 : 0;
    if (dry_hours_ == kDryGapHours) end_storm();
    const double l = dry_nats(context_, gauge_, hour, memory_.dry_before());
    nats_ += l;
    storm_ += l;
    expected_mm_ += expected;
    if (l > 0) ++telling_hours_;
    const std::size_t storms = storms_so_far();
    const double now = score();
    run_.peak = std::max(run_.peak, now);
    if (keeps_path_ && l > 0) run_.path.push_back({hour, now});
    const double capped = capped_ + std::min(kStormCapNats, storm_);
    if (storms >= kLeastStorms) run_.capped_peak = std::max(run_.capped_peak, capped);
    if (expected_mm_ < kLeastMissingMm) return;
    run_.storms = storms;
    if (!run_.called && now >= levels_.provisional) run_.called = hour;
    if (run_.called && !run_.confirmed && storms >= kLeastStorms && capped >= levels_.confirmed) {
      run_.confirmed = hour;
    }
  }

  std::size_t storms_so_far() const { return storms_ + (storm_ >= kStormNats ? 1 : 0); }

  double score() const {
    const bool one_shower = storms_so_far() < kLeastStorms && telling_hours_ < kOneShowerHours;
    return one_shower ? kOneShowerFactor * nats_ : nats_;
  }

  void end_storm() {
    capped_ += std::min(kStormCapNats, storm_);
    if (storm_ >= kStormNats) ++storms_;
    storm_ = 0;
  }

  void close(std::size_t last, std::size_t next_first) {
    run_.last = last;
    if (run_.peak > 0) runs_.push_back(std::move(run_));
    run_ = Run{};
    run_.first = next_first;
    nats_ = storm_ = capped_ = expected_mm_ = 0;
    storms_ = dry_hours_ = telling_hours_ = 0;
  }

  const CheckContext& context_;
  std::size_t gauge_;
  double bucket_mm_;
  Levels levels_;
  bool keeps_path_;
  DryMemory memory_;
  std::vector<Run> runs_;
  Run run_;
  double nats_ = 0;
  double storm_ = 0;
  double capped_ = 0;
  double expected_mm_ = 0;
  std::size_t storms_ = 0;
  std::size_t dry_hours_ = 0;
  std::size_t telling_hours_ = 0;
};

std::vector<std::vector<Run>> all_runs(const CheckContext& context, const Levels& levels) {
  std::vector<std::vector<Run>> runs(context.network.size());
  parallel_for(runs.size(), context.options.threads, [&](std::size_t gauge) {
    runs[gauge] = Walk(context, gauge, levels, false).runs();
  });
  return runs;
}

LearnedThreshold learn(const CheckContext& context) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::blocked)) return *frozen;
  std::vector<double> peaks;
  std::vector<double> capped;
  const auto runs = all_runs(context, {});
  for (const auto& of_gauge : runs) {
    for (const Run& run : of_gauge) {
      peaks.push_back(run.peak);
      capped.push_back(run.capped_peak);
    }
  }
  const double share = dial_share(FindingKind::blocked);
  const PeakTail tail{.base = 4, .prior_scale = 1, .prior_peaks = 20, .least = 6, .most = 16};
  const auto provisional = peak_level(
      peaks, context.gauge_years, share * context.options.provisional_calls_per_gauge_year, tail);
  const auto confirmed = peak_level(capped, context.gauge_years,
                                    share * context.options.confirmed_calls_per_gauge_year, tail);
  return {FindingKind::blocked, provisional.level, std::max(8.0, confirmed.level),
          provisional.scale,    provisional.peaks, {}};
}

std::string reason_of(const CheckContext& context, std::size_t gauge, const Run& run,
                      const Finding& finding) {
  const StepAxis& axis = context.hours.axis();
  std::string text = fmt::format(
      "{} while {} was expected from its neighbours over {}.",
      finding.observed_mm > 0 ? "Only " + mm_text(finding.observed_mm) : std::string("Not a tip"),
      mm_text(finding.expected_mm), span_text(axis.end(run.last - 1) - axis.begin(run.first)));
  text += fmt::format(" Wet around it: {}.", neighbours_text(context, gauge, finding.neighbours));
  if (run.storms >= kLeastStorms) text += fmt::format(" {} storms passed it by.", run.storms);
  return text;
}

Finding made(const CheckContext& context, std::size_t gauge, const Run& run) {
  const StepAxis& axis = context.hours.axis();
  Finding finding = finding_over(context, FindingKind::blocked, gauge, run.first, run.last);
  finding.tier = run.confirmed ? Tier::confirmed : Tier::provisional;
  if (!run.open) finding.to = axis.begin(run.last);
  finding.called = axis.end(*run.called);
  finding.score = run.peak;
  finding.reason = reason_of(context, gauge, run, finding);
  finding.innocent_explanation =
      run.storms >= kLeastStorms
          ? "The counter or its link was dead and zeros were stored in place of missing values."
          : "A patchy storm may have passed around the gauge, or zeros were stored while its link "
            "was down.";
  return finding;
}

// The confirmed level is one for the sum of which each storm adds only so much.
ScoreGrowth growth_of(const CheckContext& context, const Run& run, const LearnedThreshold& level) {
  const StepAxis& axis = context.hours.axis();
  ScoreGrowth growth = growth_along(axis, run.path, level, axis.end(*run.called));
  growth.confirmed.reset();
  return growth;
}

bool is_called(const Run& run) { return run.called.has_value(); }

}  // namespace

CheckOutcome find_blocked(const CheckContext& context) {
  CheckOutcome out;
  out.threshold = learn(context);
  const Levels levels{out.threshold->provisional, out.threshold->confirmed};
  auto runs = all_runs(context, levels);
  for (std::size_t gauge = 0; gauge < runs.size(); ++gauge) {
    const bool again = context.keep_growth && std::ranges::any_of(runs[gauge], is_called);
    if (again) runs[gauge] = Walk(context, gauge, levels, true).runs();
    for (const Run& run : runs[gauge]) {
      if (!is_called(run)) continue;
      out.findings.push_back(made(context, gauge, run));
      if (context.keep_growth) out.growth.push_back(growth_of(context, run, *out.threshold));
    }
  }
  return out;
}

double smallest_block_mm(const CheckContext& context, std::size_t gauge, double level) {
  // A block begun at the first wet hour of each storm: the depth lost until W reaches the level.
  std::vector<double> lost;
  const std::size_t hours = context.hours.step_count();
  std::size_t dry = kDryGapHours;
  for (std::size_t begin = 0; begin < hours; ++begin) {
    const double expected = context.expected.depth_at(gauge, begin);
    if (std::isnan(expected)) continue;
    const bool starts = expected >= kMissDepthEdgesMm[0] && dry >= kDryGapHours;
    dry = expected < kMissDepthEdgesMm[0] ? dry + 1 : 0;
    if (!starts) continue;
    double nats = 0;
    double sum = 0;
    DryMemory memory;
    for (std::size_t hour = begin; hour < hours && nats < level; ++hour) {
      const double depth = context.expected.depth_at(gauge, hour);
      if (std::isnan(depth)) continue;
      nats += dry_nats(context, gauge, hour, memory.dry_before());
      sum += depth;
      memory.push(0, depth);
    }
    if (nats >= level) lost.push_back(std::max(sum, kLeastMissingMm));
  }
  if (lost.size() < 3) return std::numeric_limits<double>::quiet_NaN();
  std::sort(lost.begin(), lost.end());
  return lost[lost.size() / 2];
}

}  // namespace gaugeloom
