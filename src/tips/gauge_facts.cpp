#include "gaugeloom/tips/gauge_facts.hpp"

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

std::vector<GaugeFacts> gauge_facts(const Network& network, std::span<const SiteVisit> visits,
                                    std::span<const Outage> outages) {
  std::vector<GaugeFacts> facts(network.size());
  for (std::size_t g = 0; g < network.size(); ++g) facts[g].rows = {network.gauges[g]};
  for (const GaugeHistory& history : network.histories) facts[history.gauge].rows = history.rows;
  for (const SiteVisit& visit : visits) {
    GAUGELOOM_ASSERT(visit.gauge < network.size());
    facts[visit.gauge].visits.push_back(visit.over);
    if (visit.poured_ml > 0) facts[visit.gauge].pours.push_back({visit.over, visit.poured_ml});
  }
  for (const Outage& outage : outages) {
    GAUGELOOM_ASSERT(outage.gauge < network.size());
    facts[outage.gauge].outages.push_back(outage.over);
  }
  return facts;
}

}  // namespace gaugeloom
