#include "gaugeloom/checks/phantom_rain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kNearM = 30000;
constexpr std::size_t kJoinHours = 4;
constexpr double kLeastMm = 2;
constexpr double kTailIndex = 4;  // of showers that one gauge alone catches; our choice

struct Episode {
  std::size_t first = 0;  // hours [first, last)
  std::size_t last = 0;
  double depth_mm = 0;
};

// Whether everything near was dry from the hour before to the hour after.
bool all_dry_near(const CheckContext& context, std::size_t gauge, std::size_t hour) {
  const std::size_t first = hour > 0 ? hour - 1 : 0;
  const std::size_t last = std::min(hour + 2, context.hours.step_count());
  std::size_t live = 0;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (n.distance_m > kNearM) break;
    if (!context.hours.is_measured(n.gauge, hour)) continue;
    ++live;
    for (std::size_t h = first; h < last; ++h) {
      if (context.hours.depth_mm(n.gauge, h) > 0) return false;
    }
  }
  return live >= kLeastNeighbours;
}

std::vector<Episode> lone_episodes(const CheckContext& context, std::size_t gauge) {
  std::vector<Episode> episodes;
  for (std::size_t hour = 0; hour < context.hours.step_count(); ++hour) {
    const double depth = context.hours.depth_mm(gauge, hour);
    if (!(depth > 0) || context.expected.wet_at(gauge, hour) > 0) continue;
    if (!all_dry_near(context, gauge, hour)) continue;
    if (episodes.empty() || hour >= episodes.back().last + kJoinHours) {
      episodes.push_back({hour, hour, 0});
    }
    episodes.back().last = hour + 1;
    episodes.back().depth_mm += depth;
  }
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
                       const std::vector<std::vector<Episode>>& episodes) {
  if (const auto* frozen = context.frozen_threshold(FindingKind::phantom_rain)) return *frozen;
  std::vector<double> depths;
  for (const auto& of_gauge : episodes) {
    for (const Episode& e : of_gauge) depths.push_back(e.depth_mm);
  }
  const double typical = typical_depth(depths);
  for (double& depth : depths) depth = score_of(depth, typical);
  const PeakTail tail{.base = 2, .prior_scale = 1.5, .prior_peaks = 20, .least = 9, .most = 13};
  LearnedThreshold threshold = dialled_threshold(context, FindingKind::phantom_rain,
                                                 std::move(depths), context.gauge_years, tail, 2);
  threshold.scales = {typical};
  return threshold;
}

Finding made(const CheckContext& context, std::size_t gauge, const Episode& episode, double score,
             const LearnedThreshold& level) {
  const StepAxis& axis = context.hours.axis();
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::phantom_rain;
  finding.tier = score >= level.confirmed ? Tier::confirmed : Tier::provisional;
  finding.from = axis.begin(episode.first);
  finding.to = axis.end(episode.last - 1);
  finding.called = axis.end(std::min(episode.last, axis.count() - 1));
  finding.score = score;
  finding.observed_mm = episode.depth_mm;
  finding.expected_mm = depths_over(context, gauge, episode.first, episode.last).expected_mm;
  finding.neighbours = speaking_neighbours(context, gauge, episode.first, episode.last);
  finding.reason = fmt::format(
      "{} within {} while nothing within {:.0f} km was wet from an hour before to an hour after. "
      "Dry around it: {}.",
      mm_text(episode.depth_mm), span_text(*finding.to - finding.from), kNearM / 1000,
      neighbours_text(context, gauge, finding.neighbours));
  finding.innocent_explanation =
      "A shower so small that no neighbour caught it, or a test pour during a visit.";
  return finding;
}

}  // namespace

CheckOutcome find_phantom_rain(const CheckContext& context) {
  std::vector<std::vector<Episode>> episodes(context.network.size());
  parallel_for(episodes.size(), context.options.threads,
               [&](std::size_t gauge) { episodes[gauge] = lone_episodes(context, gauge); });
  CheckOutcome out;
  out.threshold = learn(context, episodes);
  const double typical = out.threshold->scales.at(0);
  for (std::size_t gauge = 0; gauge < episodes.size(); ++gauge) {
    for (const Episode& e : episodes[gauge]) {
      const double score = score_of(e.depth_mm, typical);
      if (e.depth_mm < kLeastMm || score < out.threshold->provisional) continue;
      out.findings.push_back(made(context, gauge, e, score, *out.threshold));
    }
  }
  return out;
}

}  // namespace gaugeloom
