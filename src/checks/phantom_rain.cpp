#include "gaugeloom/checks/phantom_rain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "checks/finding_text_internal.hpp"
#include "checks/lone_rain_internal.hpp"

namespace gaugeloom {
namespace {

Finding made(const CheckContext& context, const LoneRain& episode, const LearnedThreshold& level) {
  Finding finding = finding_of(context, episode, FindingKind::phantom_rain, level.confirmed);
  finding.observed_mm = episode.depth_mm;  // of its lone hours only
  finding.reason = fmt::format(
      "{} within {} while nothing within {:.0f} km was wet from an hour before to an hour after. "
      "Dry around it: {}.",
      mm_text(episode.depth_mm), span_text(*finding.to - finding.from), kLoneRainReachM / 1000,
      neighbours_text(context, episode.gauge, finding.neighbours));
  finding.innocent_explanation =
      "A shower so small that no neighbour caught it, or a test pour during a visit.";
  return finding;
}

CheckOutcome found(const CheckContext& context, bool with_drips) {
  CheckOutcome out;
  LoneRains lone = find_lone_rain(context);
  for (const LoneRain& episode : lone.episodes) {
    if (!with_drips && episode.is_drip) continue;
    out.findings.push_back(made(context, episode, lone.threshold));
    if (context.keep_growth) out.growth.push_back(growth_of(context, episode, lone.threshold));
  }
  out.threshold = std::move(lone.threshold);
  return out;
}

}  // namespace

CheckOutcome find_phantom_rain(const CheckContext& context) { return found(context, false); }

CheckOutcome find_phantom_rain_suspects(const CheckContext& context) {
  return found(context, true);
}

}  // namespace gaugeloom
