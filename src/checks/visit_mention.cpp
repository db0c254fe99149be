#include <algorithm>

#include <fmt/format.h>

#include "checks/finding_text_internal.hpp"
#include "checks/visit_mention_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kNear{48};  // our choice

Duration gap(const Interval& visit, Instant edge) {
  return std::max({visit.from - edge, edge - visit.to, Duration::zero()});
}

const SiteVisit* nearest(std::span<const SiteVisit> visits, std::size_t gauge, Instant edge) {
  const SiteVisit* best = nullptr;
  for (const SiteVisit& visit : visits) {
    if (visit.gauge != gauge || visit.action == VisitAction::inspected) continue;
    if (gap(visit.over, edge) > kNear) continue;
    if (best == nullptr || gap(visit.over, edge) < gap(best->over, edge)) best = &visit;
  }
  return best;
}

void mention(Finding& finding, const SiteVisit& visit) {
  finding.reason +=
      fmt::format(" The gauge was {} on {}.", word(visit.action), day_text(visit.over.from));
}

}  // namespace

void mention_visits(std::vector<Finding>& findings, std::span<const SiteVisit> visits) {
  for (Finding& finding : findings) {
    const SiteVisit* at_start = nearest(visits, finding.gauge, finding.from);
    const SiteVisit* at_end = finding.to ? nearest(visits, finding.gauge, *finding.to) : nullptr;
    if (at_start != nullptr) mention(finding, *at_start);
    if (at_end != nullptr && at_end != at_start) mention(finding, *at_end);
  }
}

}  // namespace gaugeloom
