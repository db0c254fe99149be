#include <fmt/format.h>

#include "io/listed_gauges_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {

ListedGauges::ListedGauges(const Network& network, bool strict) : strict_(strict) {
  for (std::size_t row = 0; row < network.size(); ++row) rows_.emplace(network.gauges[row].id, row);
}

std::optional<std::size_t> ListedGauges::find(const SmallTable& table, std::size_t row,
                                              std::size_t column) {
  const auto found = rows_.find(table.text(row, column));
  if (found != rows_.end()) return found->second;
  if (strict_)
    throw Error(ErrorCode::inconsistent_input,
                "gauge " + quoted_for_message(table.at(row, column)) +
                    " is not in the gauge list; add it there, or leave out --strict",
                table.position(row, column));
  ++unknown_;
  return std::nullopt;
}

void ListedGauges::tell(const std::string& path, Notices& notices) const {
  if (unknown_ > 0)
    notices.push_back(fmt::format("{}: left out {} rows of gauges that are not in the gauge list",
                                  path, unknown_));
}

}  // namespace gaugeloom
