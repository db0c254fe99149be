#pragma once
// The words of findings: depths, spans of time and neighbours as a technician says them.

#include <string>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

std::string mm_text(double depth_mm);    // "12.3 mm"
std::string percent_text(double share);  // "62 %"
std::string span_text(Duration length);  // "40 minutes", "37 hours", "4 days"
std::string time_text(Instant t);        // "4 Mar 10:00 UTC"
std::string day_text(Instant t);         // "4 Mar 2023"
// "no neighbour had more than 12.3 mm", or "no neighbour had any rain" where that rounds to 0.
std::string no_more_text(double most_mm);

// The neighbours that spoke for the gauge over hours [first, last): measured in at least half of
// them and not excluded there; nearest first, at most as many as an estimate uses.
std::vector<std::size_t> speaking_neighbours(const CheckContext& context, std::size_t gauge,
                                             std::size_t first, std::size_t last);
// "Upper Ford (V03) at 4.1 km, V09 at 6.0 km and V11 at 7.2 km": the nearest three of them.
std::string neighbours_text(const CheckContext& context, std::size_t gauge,
                            const std::vector<std::size_t>& neighbours);

// Observed and expected depth over the hours of [first, last) where both are known.
struct DepthPair {
  double observed_mm = 0;
  double expected_mm = 0;
  std::size_t hours = 0;
};
DepthPair depths_over(const CheckContext& context, std::size_t gauge, std::size_t first,
                      std::size_t last);

// A finding as every check begins it: over the hours [first, last), with the depths and the
// speaking neighbours of these. What is left to the check: tier, to, called, score and the words.
Finding finding_over(const CheckContext& context, FindingKind kind, std::size_t gauge,
                     std::size_t first, std::size_t last);

}  // namespace gaugeloom
