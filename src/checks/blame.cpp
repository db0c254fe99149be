#include <algorithm>

#include "checks/blame_internal.hpp"

namespace gaugeloom {
namespace {

bool overlap(const Suspicion& a, const Suspicion& b) {
  return a.first_hour < b.last_hour && b.first_hour < a.last_hour;
}

bool listens(const Neighbourhoods& around, std::size_t listener, std::size_t speaker) {
  const auto& of = around.of[listener];
  return std::any_of(of.begin(), of.end(),
                     [&](const NearbyGauge& n) { return n.gauge == speaker; });
}

bool was_out(const Exclusions& before, const Suspicion& s) {
  std::size_t out = 0;
  for (std::size_t hour = s.first_hour; hour < s.last_hour; ++hour) {
    if (before.at(s.gauge, hour)) ++out;
  }
  return 2 * out > s.last_hour - s.first_hour;
}

// How many of its hours are of `right`; those that two spans share count twice.
std::size_t right_hours(const Suspicion& s, std::span<const HourSpan> right) {
  std::size_t hours = 0;
  for (const HourSpan& span : right) {
    if (span.gauge != s.gauge) continue;
    const std::size_t first = std::max(span.first_hour, s.first_hour);
    hours += std::max(std::min(span.last_hour, s.last_hour), first) - first;
  }
  return hours;
}

}  // namespace

Exclusions next_exclusions(const Network& network, const Neighbourhoods& around,
                           const Exclusions& before, std::vector<Suspicion> suspicions,
                           std::span<const HourSpan> right) {
  std::erase_if(suspicions, [&](const Suspicion& s) {
    return 2 * right_hours(s, right) > s.last_hour - s.first_hour;
  });
  std::sort(suspicions.begin(), suspicions.end(), [&](const Suspicion& a, const Suspicion& b) {
    if (a.weight != b.weight) return a.weight > b.weight;
    if (a.gauge != b.gauge) return network.gauges[a.gauge].id < network.gauges[b.gauge].id;
    return a.first_hour < b.first_hour;
  });
  Exclusions next(network.size(), before.steps);
  std::vector<Suspicion> fresh;
  for (const Suspicion& s : suspicions) {
    if (!was_out(before, s)) {
      const bool echo = std::any_of(fresh.begin(), fresh.end(), [&](const Suspicion& heavier) {
        return heavier.gauge != s.gauge && overlap(heavier, s) &&
               (listens(around, s.gauge, heavier.gauge) || listens(around, heavier.gauge, s.gauge));
      });
      if (echo) continue;
      fresh.push_back(s);
    }
    next.set(s.gauge, s.first_hour, s.last_hour);
  }
  for (const HourSpan& span : right) next.admit(span.gauge, span.first_hour, span.last_hour);
  return next;
}

}  // namespace gaugeloom
