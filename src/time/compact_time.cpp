#include "gaugeloom/time/compact_time.hpp"

#include <fmt/format.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {

std::optional<Instant> parse_compact(std::string_view text) {
  if (text.size() != std::string_view("20210304T1000Z").size()) return std::nullopt;
  const auto parsed =
      parse_iso8601(fmt::format("{}-{}-{}{}:{}", text.substr(0, 4), text.substr(4, 2),
                                text.substr(6, 2), text.substr(8, 3), text.substr(11, 3)));
  if (!parsed || format_compact(parsed->utc()) != text) return std::nullopt;
  return parsed->utc();
}

}  // namespace gaugeloom
