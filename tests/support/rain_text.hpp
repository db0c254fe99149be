#pragma once
// Short ways to small networks and to rain read from a text.

#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/io/rain_reader.hpp"

namespace gaugeloom::support {

// Gauges with these ids, on a line.
Network network_of(const std::vector<std::string>& ids);

struct RainFromText {
  RainRecord record;
  Notices notices;
  // One line per gauge: "A: 0.2 - 1.5", '-' where missing.
  std::string depths(const Network& network) const;
};

// Reads a text as the file rain.csv.
RainFromText rain_of(std::string_view text, const Network& network,
                     const RainReadOptions& options = {});
// What the error says that reading it throws, or "accepted".
std::string rain_refusal(std::string_view text, const Network& network,
                         const RainReadOptions& options = {});

}  // namespace gaugeloom::support
