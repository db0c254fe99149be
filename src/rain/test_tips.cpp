#include "gaugeloom/rain/test_tips.hpp"

#include <algorithm>
#include <tuple>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

void mask_steps(RainRecord& record, const SiteVisit& visit, TestTips& tips) {
  RainTable& table = record.depths;
  const StepAxis::Range range = table.axis().touching(visit.over);
  for (std::size_t step = range.first; step < range.last; ++step) {
    if (!table.is_measured(visit.gauge, step)) continue;
    const float depth_mm = table.depth_mm(visit.gauge, step);
    if (depth_mm > 0) {
      tips.depth_mm += static_cast<double>(depth_mm);
      ++tips.steps;
    } else if (visit.poured_ml > 0) {
      ++tips.zeros;
    } else {
      continue;
    }
    record.refused.push_back({visit.gauge, step, depth_mm});
    table.set_missing(visit.gauge, step);
    if (record.quality.steps > 0) record.quality.at(visit.gauge, step) = Quality::missing;
  }
}

}  // namespace

TestTips mask_test_tips(RainRecord& record, std::span<const SiteVisit> visits) {
  std::vector<SiteVisit> all(visits.begin(), visits.end());
  std::stable_sort(all.begin(), all.end(), [](const SiteVisit& a, const SiteVisit& b) {
    return std::tie(a.gauge, a.over.from, a.over.to, a.action) <
           std::tie(b.gauge, b.over.from, b.over.to, b.action);
  });
  TestTips tips;
  for (const SiteVisit& visit : all) {
    GAUGELOOM_ASSERT(visit.gauge < record.depths.gauge_count());
    mask_steps(record, visit, tips);
    if (visit.poured_ml > 0)
      tips.totals += std::erase_if(record.totals, [&](const AccumulatedTotal& total) {
        return total.gauge == visit.gauge && total.over.overlaps(visit.over);
      });
  }
  std::sort(record.refused.begin(), record.refused.end(),
            [](const RefusedDepth& a, const RefusedDepth& b) {
              return std::tie(a.gauge, a.step) < std::tie(b.gauge, b.step);
            });
  record.visits.insert(record.visits.end(), all.begin(), all.end());
  return tips;
}

}  // namespace gaugeloom
