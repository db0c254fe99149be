#include "io/tip_rows_internal.hpp"

#include <fmt/format.h>

#include <cstring>

#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kDayLength = 10;  // 2021-03-04

// HH:MM:SS in seconds, or -1 for other bytes and for what no clock shows. Reads 8 bytes at once: a
// digit less '0' is at most 9, and a colon less itself is 0.
int clock_seconds(const char* at) {
  constexpr std::uint64_t kEachByte = 0x0101010101010101U;
  constexpr std::uint64_t kZeros = 0x30303A30303A3030U;  // "00:00:00", the first byte lowest
  constexpr std::uint64_t kColons = 0x0000FF0000FF0000U;
  std::uint64_t bytes = 0;
  std::memcpy(&bytes, at, sizeof bytes);
  bytes ^= kZeros;
  const std::uint64_t above_nine = ((bytes + kEachByte * (0x7F - 9)) | bytes) & (kEachByte << 7);
  if ((above_nine | (bytes & kColons)) != 0) return -1;
  const std::uint64_t pairs = bytes * 10 + (bytes >> 8);  // in bytes 0, 3 and 6
  const int hour = pairs & 0xFF;
  const int minute = pairs >> 24 & 0xFF;
  const int second = pairs >> 48 & 0xFF;
  return hour < 24 && minute < 60 && second < 60 ? hour * 3600 + minute * 60 + second : -1;
}

// Passes over a field, up to the comma or the end of the row. False for quotes and blanks, which
// may not belong to it.
bool pass_plain(const char*& at) {
  while (*at != ',' && *at != '\n' && *at != '\r') {
    if (*at == '"' || *at == ' ' || *at == '\t') return false;
    ++at;
  }
  return true;
}

}  // namespace

TipLayout read_tip_layout(std::string_view line, const std::string& file) {
  const CsvHeader header(line, file, "a tip file");
  for (const char* depth : {"depth_mm", "depth_in"})
    if (header.find(depth) != kNoColumn)
      header.refuse("column '" + std::string(depth) +
                    "' makes this a rain file; give it to check or fill as --rain, and here "
                    "time,gauge[,counter] of single tips");
  TipLayout layout;
  layout.columns = header.count();
  layout.time = header.find("time");
  layout.gauge = header.find("gauge");
  layout.counter = header.find("counter");
  if (layout.time == kNoColumn) header.refuse_without("time", "add it, separated by commas");
  if (layout.gauge == kNoColumn) header.refuse_without("gauge", "add it");
  return layout;
}

void ParsedTips::clear() {
  rows.clear();
  counters.clear();
  unknown.clear();
  bare_line = 0;
  offset_line = 0;
  lines = 0;
  problem.reset();
}

TipRows::TipRows(const TipLayout& layout, const GaugeIds& ids, bool strict, const RowClock& clock)
    : layout_(layout),
      ids_(ids),
      strict_(strict),
      clock_(clock),
      gauge_scan_(ids),
      fast_layout_(layout.time == 0 && layout.gauge == 1 &&
                   (layout.counter == kNoColumn || layout.counter == 2)) {}

void TipRows::parse(std::string_view text, ParsedTips& out) {
  out.clear();
  const auto odd = first_not_text(text);
  const std::string_view sound = odd ? text.substr(0, text.rfind('\n', *odd) + 1) : text;
  const char* at = sound.data();
  const char* const end = at + sound.size();
  try {
    while (at < end) {
      ++out.lines;
      if (fast_layout_ && fast_row(at, out)) continue;
      const std::string_view rest(at, static_cast<std::size_t>(end - at));
      const std::string_view line = rest.substr(0, rest.find('\n'));
      slow_row(line, out);
      at += line.size() + 1;
    }
  } catch (const RowFailure& failure) {
    out.problem = {failure.code, failure.sentence, out.lines, failure.column};
    return;
  }
  if (odd)
    out.problem = {ErrorCode::malformed_input,
                   "this byte is not text; a tip file is CSV in UTF-8, plain or gzip",
                   out.lines + 1, static_cast<int>(*odd - sound.size()) + 1};
}

void TipRows::saw(bool has_offset, ParsedTips& out) const {
  long& line = has_offset ? out.offset_line : out.bare_line;
  if (line == 0) line = out.lines;
}

std::uint32_t TipRows::counter_of(std::string_view name, ParsedTips& out, int column) {
  for (std::uint32_t i = 0; i < out.counters.size(); ++i)
    if (out.counters[i] == name) return i;
  if (out.counters.size() == kMostCounters)
    throw RowFailure{ErrorCode::malformed_input,
                     fmt::format("counter {} is one more than {}; a bucket has one or two: name in "
                                 "this column which of them it was",
                                 quoted_for_message(name), kMostCounters),
                     column};
  out.counters.emplace_back(name);
  return static_cast<std::uint32_t>(out.counters.size() - 1);
}

// ---- the fast way: time,gauge[,counter] first, nothing quoted, known gauges --------------------

bool TipRows::fast_row(const char*& at, ParsedTips& out) {
  const char* p = at;
  TipRow row;
  if (!fast_time(p, row.time, out)) return false;
  row.gauge = gauge_scan_.field(p);
  if (row.gauge == kNoGauge) return false;
  std::string_view counter;
  int counter_at = 0;
  for (int column = 2; column < layout_.columns; ++column) {
    if (*p != ',') return false;
    const char* const begin = ++p;
    if (!pass_plain(p)) return false;
    if (column != layout_.counter) continue;
    counter = {begin, static_cast<std::size_t>(p - begin)};
    counter_at = static_cast<int>(begin - at) + 1;
  }
  row.counter = counter_of(counter, out, counter_at);
  if (*p == '\r') ++p;
  if (*p != '\n') return false;
  at = p + 1;
  out.rows.push_back(row);
  return true;
}

// The day of a time is most often that of the row before.
bool TipRows::fast_day(const char* at) {
  if (std::memcmp(at, day_text_, kDayLength) == 0) return true;
  const auto day = parse_iso8601({at, kDayLength});
  if (!day) return false;
  std::memcpy(day_text_, at, kDayLength);
  day_ = day->clock;
  return true;
}

// YYYY-MM-DDTHH:MM:SS[.f][Z], and a comma, which is passed over.
bool TipRows::fast_time(const char*& at, Instant& time, ParsedTips& out) {
  if (!fast_day(at)) return false;
  const char* p = at + kDayLength;
  if (*p != 'T' && *p != ' ') return false;
  const int second_of_day = clock_seconds(p + 1);
  if (second_of_day < 0) return false;
  p += 9;
  std::int64_t fraction_us = 0;
  if (*p == '.') {
    std::int64_t unit_us = 100'000;
    unsigned digit = static_cast<unsigned char>(*++p) - unsigned{'0'};
    if (digit > 9) return false;
    for (; digit < 10; digit = static_cast<unsigned char>(*++p) - unsigned{'0'}) {
      if (unit_us == 0) return false;
      fraction_us += digit * unit_us;
      unit_us /= 10;
    }
  }
  const bool has_offset = *p == 'Z';
  if (has_offset) ++p;
  if (*p != ',' || (!has_offset && clock_.has_zone())) return false;
  at = p + 1;
  time = day_ + std::chrono::seconds(second_of_day) + Duration(fraction_us);
  if (!has_offset) time -= clock_.utc_offset();
  saw(has_offset, out);
  return true;
}

// ---- the plain way: any columns, quotes, and every error ---------------------------------------

void TipRows::slow_row(std::string_view line, ParsedTips& out) {
  if (trimmed(line).empty() || trimmed(line) == "\r") return;
  fields_ = row_.split(line, layout_.columns);
  const auto field = [&](int column) { return fields_[static_cast<std::size_t>(column)]; };
  TipRow row;
  row.time = read_time(field(layout_.time), out);
  const CsvField id = field(layout_.gauge);
  if (id.text.empty())
    throw RowFailure{ErrorCode::malformed_input, "the gauge is empty; fill it in", id.column};
  const CsvField counter = layout_.counter == kNoColumn ? CsvField{} : field(layout_.counter);
  row.counter = counter_of(counter.text, out, counter.column);
  row.gauge = ids_.find(id.text);
  if (row.gauge != kNoGauge) {
    out.rows.push_back(row);
    return;
  }
  if (strict_)
    throw RowFailure{ErrorCode::inconsistent_input,
                     "gauge " + quoted_for_message(id.text) +
                         " is not in the gauge list; add it there, or leave out --strict",
                     id.column};
  ++out.unknown[std::string(id.text)];
}

Instant TipRows::read_time(const CsvField& field, ParsedTips& out) {
  std::optional<RowTime> time;
  try {
    time = clock_.read(field.text);
  } catch (const Error& error) {
    throw RowFailure{error.code(), error.what(), field.column};
  }
  if (!time)
    throw RowFailure{ErrorCode::malformed_input,
                     "time " + quoted_for_message(field.text) +
                         " is not a time; write it as 2021-03-04T10:00:00.25Z",
                     field.column};
  saw(time->has_offset, out);
  return time->utc;
}

}  // namespace gaugeloom
