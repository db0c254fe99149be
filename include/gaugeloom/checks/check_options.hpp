#pragma once
// What the user may choose about checking.

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace gaugeloom {

struct Finding;

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
  // Called once with the findings, before they make the quality of any step: it may take some out
  // and change the tier of others (checks/reviewed.hpp).
  std::function<void(std::vector<Finding>& findings)> review;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

}  // namespace gaugeloom
