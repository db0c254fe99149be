#pragma once
// Visits of technicians to gauges.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

enum class VisitAction : std::uint8_t { cleaned, calibrated, repaired, inspected };
std::string_view word(VisitAction action);
std::optional<VisitAction> parse_visit_action(std::string_view text);

struct SiteVisit {
  std::size_t gauge = 0;  // row in the network
  Interval over;
  VisitAction action = VisitAction::inspected;
  double poured_ml = 0;  // into the gauge, to check its bucket by volume; 0 = no such check
  std::string note;      // may be empty
};

}  // namespace gaugeloom
