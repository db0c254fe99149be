#pragma once
// The gauges that rows of a small table name: those of the network, and how many are none of it.

#include <cstddef>
#include <optional>
#include <string>
#include <unordered_map>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/io/small_table_reader.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

class ListedGauges {
 public:
  // With `strict` a gauge that is not in the network is an error, else it is counted.
  ListedGauges(const Network& network, bool strict);

  // The row in the network of the gauge named in a field of `table`.
  // Throws: Error{malformed_input} for an empty field; Error{inconsistent_input} when strict.
  std::optional<std::size_t> find(const SmallTable& table, std::size_t row, std::size_t column);
  // One notice of how many rows named gauges that are not in the network, if any did.
  void tell(const std::string& path, Notices& notices) const;

 private:
  std::unordered_map<std::string, std::size_t> rows_;
  bool strict_;
  std::size_t unknown_ = 0;
};

}  // namespace gaugeloom
