#pragma once
// What the user may choose about checking.

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct Finding;

// A part of the record of one gauge.
struct GaugeSpan {
  std::size_t gauge = 0;
  Interval over;
};

struct CheckOptions {
  // The one dial: how often, on data without faults, a gauge may be called in a year, over all
  // checks together. Thresholds follow from it and from the network's own accepted data.
  double provisional_calls_per_gauge_year = 0.2;  // > 0, at most 20
  double confirmed_calls_per_gauge_year = 0.02;   // > 0, at most the provisional one
  int blame_rounds = 5;                           // at least 1: refits without the worst episodes
  // Hours colder than this at a gauge are not tested there and do not speak for its neighbours.
  double cold_celsius = 2;  // within -20 and 10; see rain/temperature.hpp
  // Whether the laws of longer windows are learned and CheckResult::consistency is made; no finding
  // depends on them.
  bool hold_totals = true;
  // Whether CheckResult::evidence is made, and for how many findings; no finding depends on it.
  bool keep_evidence = false;
  std::size_t most_evidence = 200;
  int threads = 0;  // 0 = all cores; never changes a result
  // Called between the parts of the work with the share done (0 to 1) and what comes next.
  std::function<void(double done, std::string_view next)> progress;
  // Where the rain of a gauge is known to be right: it speaks for its neighbours there and teaches
  // what is healthy, whatever is suspected. What is called there is called all the same.
  std::vector<GaugeSpan> right_rain;
  // Called once with the findings, sorted, before they make the quality of any step: it may change
  // them (checks/reviewed.hpp). When it returns false the check ends there, with nothing made but
  // the findings and the nulls.
  std::function<bool(std::vector<Finding>& findings)> review;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

}  // namespace gaugeloom
