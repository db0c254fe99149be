// Any bytes as a time, a duration and an offset: what is read is written and reads back the same.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/time/time_zone.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace gaugeloom;  // NOLINT: one short program
  static const TimeZone zone("Europe/Berlin");
  const std::string_view text(reinterpret_cast<const char*>(bytes), size);
  if (const auto time = parse_iso8601(text)) {
    const auto again = parse_iso8601(format_utc(time->clock));
    const bool next_century = time->clock >= parse_iso8601("2199-12-31T24:00")->clock;
    if (!next_century && (!again || again->clock != time->clock)) std::abort();
    try {
      const ClockSpan span = zone.span_at(time->clock);
      if (time->clock < span.from || time->clock >= span.to) std::abort();
      if (zone.utc(time->clock) != time->clock - span.offset) std::abort();
    } catch (const Error&) {  // an hour that happens twice or never
    }
  }
  if (const auto duration = parse_duration(text))
    if (parse_duration(format_duration(*duration)) != duration) std::abort();
  parse_utc_offset(text);
  return 0;
}
