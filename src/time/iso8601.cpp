#include "gaugeloom/time/iso8601.hpp"

#include <fmt/format.h>

#include <cstdlib>

namespace gaugeloom {
namespace {

// Reads one part after another from the front of a text.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) {}

  bool at_end() const { return rest_.empty(); }
  bool take(char c) {
    if (rest_.empty() || rest_.front() != c) return false;
    rest_.remove_prefix(1);
    return true;
  }
  bool next_is_digit() const { return !rest_.empty() && is_digit(rest_.front()); }
  // Exactly `digits` digits, as a number within [low, high].
  std::optional<int> number(int digits, int low, int high) {
    if (rest_.size() < static_cast<std::size_t>(digits)) return std::nullopt;
    int value = 0;
    for (int i = 0; i < digits; ++i) {
      const char c = rest_[static_cast<std::size_t>(i)];
      if (!is_digit(c)) return std::nullopt;
      value = value * 10 + (c - '0');
    }
    if (value < low || value > high) return std::nullopt;
    rest_.remove_prefix(static_cast<std::size_t>(digits));
    return value;
  }
  // 1 to 6 digits after a decimal point, in microseconds.
  std::optional<long> microseconds() {
    long value = 0;
    int digits = 0;
    while (next_is_digit() && digits < 6) {
      value = value * 10 + (rest_.front() - '0');
      rest_.remove_prefix(1);
      ++digits;
    }
    if (digits == 0 || next_is_digit()) return std::nullopt;
    for (; digits < 6; ++digits) value *= 10;
    return value;
  }

 private:
  static bool is_digit(char c) { return c >= '0' && c <= '9'; }
  std::string_view rest_;
};

std::optional<std::chrono::minutes> scan_offset(Scanner& scan) {
  if (scan.take('Z')) return std::chrono::minutes{0};
  const bool negative = scan.take('-');
  if (!negative && !scan.take('+')) return std::nullopt;
  const auto hours = scan.number(2, 0, 18);
  if (!hours) return std::nullopt;
  int minutes = 0;
  if (scan.take(':') || scan.next_is_digit()) {
    const auto read = scan.number(2, 0, 59);
    if (!read) return std::nullopt;
    minutes = *read;
  }
  const int total = *hours * 60 + minutes;
  if (total > 18 * 60) return std::nullopt;
  return std::chrono::minutes{negative ? -total : total};
}

// Time of day after its T: HH:MM[:SS[.f]].
std::optional<Duration> scan_time_of_day(Scanner& scan) {
  const auto hour = scan.number(2, 0, 24);
  if (!hour || !scan.take(':')) return std::nullopt;
  const auto minute = scan.number(2, 0, 59);
  if (!minute) return std::nullopt;
  Duration time = std::chrono::hours{*hour} + std::chrono::minutes{*minute};
  if (scan.take(':')) {
    const auto second = scan.number(2, 0, 59);
    if (!second) return std::nullopt;
    time += std::chrono::seconds{*second};
    if (scan.take('.') || scan.take(',')) {
      const auto fraction = scan.microseconds();
      if (!fraction) return std::nullopt;
      time += Duration{*fraction};
    }
  }
  if (time > std::chrono::hours{24}) return std::nullopt;
  return time;
}

std::optional<Instant> scan_date(Scanner& scan) {
  const auto year = scan.number(4, 1800, 2199);
  if (!year || !scan.take('-')) return std::nullopt;
  const auto month = scan.number(2, 1, 12);
  if (!month || !scan.take('-')) return std::nullopt;
  const auto day = scan.number(2, 1, 31);
  if (!day) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{*year},
                                         std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok()) return std::nullopt;
  return Instant{std::chrono::sys_days{date}};
}

}  // namespace

std::optional<ParsedTime> parse_iso8601(std::string_view text) {
  Scanner scan(text);
  const auto date = scan_date(scan);
  if (!date) return std::nullopt;
  ParsedTime parsed{*date, std::nullopt};
  if (scan.at_end()) return parsed;
  if (!scan.take('T') && !scan.take(' ')) return std::nullopt;
  const auto time = scan_time_of_day(scan);
  if (!time) return std::nullopt;
  parsed.clock += *time;
  if (scan.at_end()) return parsed;
  parsed.offset = scan_offset(scan);
  if (!parsed.offset || !scan.at_end()) return std::nullopt;
  return parsed;
}

std::string format_utc(Instant t) {
  const auto day = std::chrono::floor<std::chrono::days>(t);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss time{t - day};
  std::string text =
      fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                  time.hours().count(), time.minutes().count(), time.seconds().count());
  if (time.subseconds().count() != 0) text += fmt::format(".{:06}", time.subseconds().count());
  return text + "Z";
}

std::string format_compact(Instant t) {
  const auto day = std::chrono::floor<std::chrono::days>(t);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss time{t - day};
  return fmt::format("{:04}{:02}{:02}T{:02}{:02}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     time.hours().count(), time.minutes().count());
}

std::optional<std::chrono::seconds> parse_duration(std::string_view text) {
  long value = 0;
  std::size_t i = 0;
  for (; i < text.size() && text[i] >= '0' && text[i] <= '9'; ++i) {
    value = value * 10 + (text[i] - '0');
    if (value > 366L * 86400) return std::nullopt;
  }
  const std::string_view unit = text.substr(i);
  long scale = 0;
  if (unit == "s") scale = 1;
  if (unit == "min") scale = 60;
  if (unit == "h") scale = 3600;
  if (unit == "d") scale = 86400;
  if (i == 0 || value == 0 || scale == 0 || value * scale > 366L * 86400) return std::nullopt;
  return std::chrono::seconds{value * scale};
}

std::string format_duration(std::chrono::seconds duration) {
  const long seconds = static_cast<long>(duration.count());
  if (seconds % 86400 == 0) return fmt::format("{}d", seconds / 86400);
  if (seconds % 3600 == 0) return fmt::format("{}h", seconds / 3600);
  if (seconds % 60 == 0) return fmt::format("{}min", seconds / 60);
  return fmt::format("{}s", seconds);
}

std::optional<std::chrono::minutes> parse_utc_offset(std::string_view text) {
  Scanner scan(text);
  const auto offset = scan_offset(scan);
  if (!offset || !scan.at_end()) return std::nullopt;
  return offset;
}

}  // namespace gaugeloom
