#pragma once
// The times of rows, as one option or another says they are to be read. Internal.

#include <chrono>
#include <optional>
#include <string_view>

#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/time/time_zone.hpp"

namespace gaugeloom {

inline constexpr std::string_view kBareTimesNotice =
    "times without an offset were taken as UTC; give --utc-offset or --time-zone if they are not";

struct RowTime {
  Instant utc;
  bool has_offset = false;  // whether the file wrote one
};

class RowClock {
 public:
  // Times without an offset are of `zone` where there is one, else of `utc_offset`, else UTC.
  RowClock(std::optional<std::chrono::minutes> utc_offset, const TimeZone* zone)
      : utc_offset_(utc_offset.value_or(std::chrono::minutes{0})), zone_(zone) {}

  // Nothing for a text that is no time. Throws as TimeZone::utc.
  std::optional<RowTime> read(std::string_view text) {
    const auto parsed = parse_iso8601(text);
    if (!parsed) return std::nullopt;
    if (parsed->offset || zone_ == nullptr)
      return RowTime{parsed->utc(utc_offset_), parsed->offset.has_value()};
    if (parsed->clock < span_.from || parsed->clock >= span_.to)
      span_ = zone_->span_at(parsed->clock);
    return RowTime{parsed->clock - span_.offset, false};
  }

  bool has_zone() const { return zone_ != nullptr; }
  std::chrono::minutes utc_offset() const { return utc_offset_; }

 private:
  std::chrono::minutes utc_offset_;
  const TimeZone* zone_;
  ClockSpan span_{};
};

}  // namespace gaugeloom
