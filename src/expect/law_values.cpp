#include "gaugeloom/expect/law_values.hpp"

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

[[noreturn]] void refuse(const std::string& sentence) {
  throw Error(ErrorCode::inconsistent_input, sentence);
}

void refuse_beyond(const std::string& name, std::span<const double> values,
                   LawValues::Bounds bounds) {
  for (const double value : values)
    if (!(value >= bounds.least && value <= bounds.most))
      refuse(fmt::format("'{}' holds {}, which is not within {} and {}", name, value, bounds.least,
                         bounds.most));
}

}  // namespace

const std::vector<double>& LawValues::list(const std::string& name, Bounds bounds) const {
  const auto found = lists.find(name);
  if (found == lists.end()) refuse(fmt::format("there is no list '{}'", name));
  refuse_beyond(name, found->second, bounds);
  return found->second;
}

const std::vector<double>& LawValues::list(const std::string& name, std::size_t size,
                                           Bounds bounds) const {
  const std::vector<double>& values = list(name, bounds);
  if (values.size() != size)
    refuse(fmt::format("'{}' holds {} numbers, not {}", name, values.size(), size));
  return values;
}

const std::vector<double>& LawValues::per_gauge(const std::string& name, Bounds bounds) const {
  const auto found = of_gauges.find(name);
  if (found == of_gauges.end()) refuse(fmt::format("there is no list '{}' of gauges", name));
  refuse_beyond(name, found->second.values, bounds);
  return found->second.values;
}

LawValues LawValues::for_gauges(std::span<const std::optional<std::size_t>> rows) const {
  LawValues other = *this;
  for (auto& [name, of] : other.of_gauges) {
    const std::vector<double>& known = of_gauges.at(name).values;
    of.values.clear();
    for (const auto& row : rows) of.values.push_back(row ? known[*row] : of.unknown);
  }
  return other;
}

}  // namespace gaugeloom
