#pragma once
// What was done at a gauge when a finding began or ended there.

#include <span>
#include <vector>

#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/site_visit.hpp"

namespace gaugeloom {

// Adds "The gauge was cleaned on 4 Mar 2023." to the reason of every finding that begins or ends
// within two days of a visit to its gauge that changed something; of several the nearest.
void mention_visits(std::vector<Finding>& findings, std::span<const SiteVisit> visits);

}  // namespace gaugeloom
