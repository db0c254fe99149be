#pragma once
// Reads the compact form of a time in ids and file names: 20210304T1000Z.

#include <optional>
#include <string_view>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// What format_compact() writes (time/iso8601.hpp), and nothing else: a whole minute in UTC.
std::optional<Instant> parse_compact(std::string_view text);

}  // namespace gaugeloom
