#include "report/page_words_internal.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "gaugeloom/io/number_format.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {

std::string shown_time(Instant instant) {
  std::string text = format_utc(instant);  // 2023-06-14T09:00:00Z
  text.replace(text.find('T'), 1, " ");
  if (text.ends_with(":00Z")) text.erase(text.size() - 4, 3);
  return text;
}

std::string shown_clock(std::chrono::minutes after_midnight) {
  return fmt::format("{:02}:{:02}Z", after_midnight.count() / 60, after_midnight.count() % 60);
}

std::string shown_number(double value, int decimals) {
  if (!std::isfinite(value)) return std::string(kUnknown);
  std::string text;
  append_fixed(text, value, decimals);
  return text;
}

std::string shown_percent(double share) {
  const double percent = 100 * share;
  if (percent > 0 && percent < 0.05) return "<0.1";
  if (percent >= 99.95 && percent < 100) return ">99.9";
  return shown_number(percent, 1);
}

std::string shown_duration(std::chrono::seconds length) {
  const long seconds = static_cast<long>(length.count());
  if (seconds % 86400 == 0) return counted(static_cast<std::size_t>(seconds / 86400), "day");
  if (seconds % 3600 == 0) return fmt::format("{} h", seconds / 3600);
  if (seconds % 60 == 0) return fmt::format("{} min", seconds / 60);
  return fmt::format("{} s", seconds);
}

std::string shown_word(std::string_view word) {
  std::string text(word);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

std::string counted(std::size_t count, std::string_view one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

}  // namespace gaugeloom
