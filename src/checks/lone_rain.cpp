#include <algorithm>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/lone_rain_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kJoinHours = 4;
constexpr double kLeastMm = 2;
constexpr double kLeastTypicalMm = 1e-6;
constexpr double kTailIndex = 4;       // of showers that one gauge alone catches; our choice
constexpr double kRiseBuckets = 1.01;  // as whole tips come and go

// Whether everything near was dry from the hour before to the hour after.
bool all_dry_near(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const std::size_t first = hour > 0 ? hour - 1 : 0;
  const std::size_t last = std::min(hour + 2, context.hours.step_count());
  std::size_t live = 0;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (n.distance_m > kLoneRainReachM) break;
    if (!context.hours.is_measured(n.gauge, hour)) continue;
    ++live;
    for (std::size_t h = first; h < last; ++h) {
      if (context.hours.depth_mm(n.gauge, h) > 0) return false;
    }
  }
  return live >= kLeastNeighbours;
}

bool is_lone(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  return context.hours.depth_mm(gauge, hour) > 0 && !(context.expected.wet_at(gauge, hour) > 0) &&
         all_dry_near(context, gauge, hour);
}

bool only_runs_out(const CheckContext& context, const LoneRain& episode) {
  const double bucket_mm = context.network.gauges[episode.gauge].bucket_mm;
  if (episode.first == 0 || !(context.hours.depth_mm(episode.gauge, episode.first - 1) > 0))
    return false;
  for (std::size_t hour = episode.first; hour < episode.last; ++hour) {
    const double rise = context.hours.depth_mm(episode.gauge, hour) -
                        context.hours.depth_mm(episode.gauge, hour - 1);
    if (!(rise <= kRiseBuckets * bucket_mm)) return false;  // or the hour before is missing
  }
  return true;
}

std::vector<LoneRain> lone_episodes(const CheckContext& context, std::size_t gauge) {
  std::vector<LoneRain> episodes;
  for (std::size_t hour = 0; hour < context.hours.step_count(); ++hour) {
    if (!is_lone(context, gauge, hour)) continue;
    if (episodes.empty() || hour >= episodes.back().last + kJoinHours) {
      LoneRain& begun = episodes.emplace_back();
      begun.gauge = gauge;
      begun.first = hour;
    }
    episodes.back().last = hour + 1;
    episodes.back().depth_mm += context.hours.depth_mm(gauge, hour);
  }
  for (LoneRain& e : episodes) e.is_drip = only_runs_out(context, e);
  return episodes;
}

// The mean of an exponential law with the median of the episodes, ten of 0.2 mm added (our choice):
// a few great ones, which may be faults, do not move it.
double typical_depth(std::vector<double> depths) {
  depths.insert(depths.end(), 10, 0.2);
  std::sort(depths.begin(), depths.end());
  return depths[depths.size() / 2] / 0.6931;
}

double score_of(double depth_mm, double typical_mm) {
  return kTailIndex * portable_log(std::max(1.0, depth_mm / typical_mm));
}

LearnedThreshold learn(const CheckContext& context,
                       const std::vector<std::vector<LoneRain>>& episodes) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::phantom_rain, 1, kLeastTypicalMm))
    return *frozen;
  std::vector<double> depths;
  for (const auto& of_gauge : episodes) {
    for (const LoneRain& e : of_gauge) depths.push_back(e.depth_mm);
  }
  const double typical = typical_depth(depths);
  for (double& depth : depths) depth = score_of(depth, typical);
  const PeakTail tail{.base = 2, .prior_scale = 1.5, .prior_peaks = 20, .least = 9, .most = 13};
  LearnedThreshold threshold = dialled_threshold(context, FindingKind::phantom_rain,
                                                 std::move(depths), context.gauge_years, tail, 2);
  threshold.scales = {typical};
  return threshold;
}

}  // namespace

Finding finding_of(const CheckContext& context, const LoneRain& episode, FindingKind kind,
                   double confirmed_score) {
  const StepAxis& axis = context.hours.axis();
  Finding finding = finding_over(context, kind, episode.gauge, episode.first, episode.last);
  finding.tier = episode.score >= confirmed_score ? Tier::confirmed : Tier::provisional;
  finding.to = axis.end(episode.last - 1);
  finding.called = axis.end(std::min(episode.last, axis.count() - 1));
  finding.score = episode.score;
  return finding;
}

ScoreGrowth growth_of(const CheckContext& context, const LoneRain& episode,
                      const LearnedThreshold& level) {
  const StepAxis& axis = context.hours.axis();
  ScorePath path;
  double depth_mm = 0;
  for (std::size_t hour = episode.first; hour < episode.last; ++hour) {
    if (!is_lone(context, episode.gauge, hour)) continue;
    depth_mm += context.hours.depth_mm(episode.gauge, hour);
    path.push_back({std::min(hour + 1, axis.count() - 1), score_of(depth_mm, level.scales.at(0))});
  }
  return growth_along(axis, path, level, axis.end(path.back().at));
}

LoneRains find_lone_rain(const CheckContext& context) {
  std::vector<std::vector<LoneRain>> episodes(context.network.size());
  parallel_for(episodes.size(), context.options.threads,
               [&](std::size_t gauge) { episodes[gauge] = lone_episodes(context, gauge); });
  LoneRains out;
  out.threshold = learn(context, episodes);
  const double typical = out.threshold.scales.at(0);
  for (const auto& of_gauge : episodes) {
    for (LoneRain e : of_gauge) {
      e.score = score_of(e.depth_mm, typical);
      if (e.depth_mm >= kLeastMm && e.score >= out.threshold.provisional) out.episodes.push_back(e);
    }
  }
  return out;
}

}  // namespace gaugeloom
