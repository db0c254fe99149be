#pragma once
// Which column of a rain file holds what, told by its header.

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "gaugeloom/io/rain_reader.hpp"
#include "io/csv_header_internal.hpp"

namespace gaugeloom {

inline constexpr std::uint32_t kNoGauge = UINT32_MAX;

// Rows of gauges by id.
class GaugeIds {
 public:
  explicit GaugeIds(const Network& network);
  std::uint32_t find(std::string_view id) const;  // kNoGauge when it is not in the network
  std::string_view id(std::uint32_t gauge) const { return ids_[gauge]; }
  std::size_t count() const { return ids_.size(); }

 private:
  std::vector<std::string> ids_;
  std::unordered_map<std::string_view, std::uint32_t> rows_;
};

struct RainLayout {
  bool wide = false;
  int columns = 0;
  int time = kNoColumn;
  int gauge = kNoColumn;  // this and the next four in a long file only
  int depth = kNoColumn;
  int quality = kNoColumn;
  int since = kNoColumn;
  int origin = kNoColumn;
  std::vector<std::uint32_t> gauge_of_column;  // in a wide file; kNoGauge for unknown ones
  std::vector<std::string> unknown;            // gauges of a wide file not in the network
};

// Reads the header of the file `name`.
// Throws Error{malformed_input} for a missing or repeated column, or one too many.
RainLayout read_rain_layout(std::string_view header, const std::string& name, const GaugeIds& ids,
                            const RainReadOptions& options);

}  // namespace gaugeloom
