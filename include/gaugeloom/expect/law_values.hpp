#pragma once
// A learned law as plain numbers under stable names, so that it can be written down and come back
// exactly. Every law that is kept has values() and from(), which undoes it.

#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace gaugeloom {

struct LawValues {
  struct OfGauges {
    std::vector<double> values;  // one per gauge
    double unknown = 1;          // for a gauge of which nothing was learned
  };
  struct Bounds {
    double least;
    double most;
  };

  std::map<std::string, std::vector<double>> lists;
  std::map<std::string, OfGauges> of_gauges;

  // The list of that name. Throws Error{inconsistent_input} when it is not there, is of another
  // size, or holds a number beyond the bounds or none.
  const std::vector<double>& list(const std::string& name, std::size_t size, Bounds bounds) const;
  // The same of any size.
  const std::vector<double>& list(const std::string& name, Bounds bounds) const;
  // The same, one number per gauge.
  const std::vector<double>& per_gauge(const std::string& name, Bounds bounds) const;

  // The same law for other gauges: gauge i was in row rows[i], or is unknown.
  // Requires rows within every list of gauges.
  LawValues for_gauges(std::span<const std::optional<std::size_t>> rows) const;
};

}  // namespace gaugeloom
