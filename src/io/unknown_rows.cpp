#include <fmt/format.h>

#include "io/unknown_rows_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMostRemembered = 100'000;

}  // namespace

void UnknownRows::add(const std::string& id, long rows) {
  rows_[rows_.size() < kMostRemembered || rows_.contains(id) ? id : ""] += rows;
}

void UnknownRows::tell(Notices& notices) const {
  if (rows_.empty()) return;
  long rows = 0;
  for (const auto& [id, count] : rows_) rows += count;
  const bool more = rows_.contains("");
  notices.push_back(fmt::format(
      "{} rows of {}{} gauges that are not in the gauge list were left out (first by name: {})",
      rows, more ? "more than " : "", rows_.size() - (more ? 1 : 0),
      more ? std::next(rows_.begin())->first : rows_.begin()->first));
}

}  // namespace gaugeloom
