#include "io/rain_rows_internal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <utility>

#include "io/depth_scan_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLongestFastField = GaugeScan::kLongestField;
constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

bool is_missing_word(std::string_view text) { return text.empty() || text == "NA"; }

}  // namespace

void ParsedRain::clear() {
  runs.clear();
  gauges.clear();
  depths_mm.clear();
  qualities.clear();
  totals.clear();
  other_counter.clear();
  unknown.clear();
  lines = 0;
  last_column = 0;
  problem.reset();
}

RainRows::RainRows(const RainLayout& layout, const GaugeIds& ids, const RainReadOptions& options,
                   const TimeZone* zone)
    : layout_(layout),
      ids_(ids),
      options_(options),
      clock_(options.utc_offset, zone),
      mm_per_unit_(options.unit == DepthUnit::inch ? 25.4 : 1.0),
      fast_layout_(layout.time == 0 && layout.gauge == 1 && layout.depth == 2),
      gauge_scan_(ids) {
  time_text_.assign(kLongestFastField + 8, '\0');
}

void RainRows::parse(std::string_view text, ParsedRain& out, std::size_t most_entries) {
  out.clear();
  wanted_ = most_entries;
  const auto odd = first_not_text(text);
  const std::string_view sound = odd ? text.substr(0, text.rfind('\n', *odd) + 1) : text;
  const char* at = sound.data();
  const char* const end = at + sound.size();
  const bool fast_wide = layout_.wide && layout_.time == 0;
  try {
    while (at < end && out.gauges.size() < wanted_) {
      ++out.lines;
      if (fast_layout_ && fast_row(at, out)) continue;
      if (fast_wide && fast_wide_row(at, out)) continue;
      const std::string_view rest(at, static_cast<std::size_t>(end - at));
      const std::string_view line = rest.substr(0, rest.find('\n'));
      slow_row(line, out);
      at += line.size() + 1;
    }
  } catch (const RowFailure& failure) {
    out.problem = {failure.code, failure.sentence, out.lines, failure.column};
    return;
  }
  if (odd && at == end)
    out.problem = {ErrorCode::malformed_input,
                   "this byte is not text; a rain file is CSV in UTF-8, plain or gzip",
                   out.lines + 1, static_cast<int>(*odd - sound.size()) + 1};
}

void RainRows::push(std::uint32_t gauge, float depth_mm, std::uint8_t quality, int column,
                    ParsedRain& out) const {
  if (out.runs.empty() || out.runs.back().time_s != time_s_ ||
      out.runs.back().has_offset != has_offset_)
    out.runs.push_back({time_s_, has_offset_, 0, out.lines});
  ++out.runs.back().entries;
  out.gauges.push_back(gauge);
  out.depths_mm.push_back(depth_mm);
  if (layout_.quality != kNoColumn) out.qualities.push_back(quality);
  if (out.gauges.size() == wanted_) out.last_column = column;
}

// ---- the fast way: time,gauge,depth first, nothing quoted, known gauges ------------------------

bool RainRows::fast_row(const char*& at, ParsedRain& out) {
  const char* p = at;
  if (!fast_time(p)) return false;
  const std::uint32_t gauge = gauge_scan_.scan(p);
  if (gauge == kNoGauge) return false;
  const auto column = static_cast<int>(p - at) + 1;
  double depth = 0;
  if (!scan_depth(p, depth)) return false;
  std::uint8_t quality = kNoQuality;
  bool other_counter = false;
  for (int i = 3; i < layout_.columns; ++i)
    if (!fast_extra(p, i, quality, other_counter)) return false;
  if (*p == '\r') ++p;
  if (*p != '\n') return false;
  at = p + 1;
  gauge_scan_.follow(gauge);
  push(gauge, as_depth(depth, quality), quality, column, out);
  if (other_counter) out.other_counter.push_back({gauge, time_s_});
  return true;
}

// Passes over ",field" of column i, which must be plain; takes a quality seen before.
bool RainRows::fast_extra(const char*& at, int i, std::uint8_t& quality,
                          bool& other_counter) const {
  if (*at != ',') return false;
  const char* const begin = at + 1;
  const char* p = begin;
  while (*p != ',' && *p != '\n' && *p != '\r' && *p != '"') ++p;
  if (*p == '"') return false;
  at = p;
  if (i == layout_.since) return p == begin;
  const std::string_view text(begin, static_cast<std::size_t>(p - begin));
  if (i == layout_.origin) other_counter = text == word(Origin::other_counter);
  if (i != layout_.quality || text.empty()) return true;
  const auto known = parse_quality(text);
  if (!known || !options_.quality_codes.empty()) return false;
  quality = static_cast<std::uint8_t>(*known);
  return true;
}

bool RainRows::fast_time(const char*& at) {
  if (time_length_ > 0 && same_bytes(at, time_text_.data(), time_length_)) {
    at += time_length_;
    return true;
  }
  std::size_t length = 0;
  while (length < kLongestFastField && at[length] != ',' && at[length] != '\n') ++length;
  if (at[length] != ',') return false;
  if (!take_time({at, length}, 1)) return false;
  std::memcpy(time_text_.data(), at, length + 1);
  time_length_ = length + 1;
  at += length + 1;
  return true;
}

bool RainRows::fast_wide_row(const char*& at, ParsedRain& out) {
  const char* p = at;
  if (!fast_time(p)) return false;
  const std::size_t entries = out.gauges.size();
  const std::size_t runs = out.runs.size();
  const std::size_t of_last_run = runs == 0 ? 0 : out.runs.back().entries;
  const auto columns = static_cast<std::size_t>(layout_.columns);
  for (std::size_t i = 1; i < columns; ++i) {
    const auto column = static_cast<int>(p - at) + 1;
    double depth = 0;
    if (!scan_depth(p, depth) || (*p == ',') != (i + 1 < columns)) {
      out.gauges.resize(entries);
      out.depths_mm.resize(entries);
      out.runs.resize(runs);
      if (runs > 0) out.runs.back().entries = of_last_run;
      return false;
    }
    if (*p == ',') ++p;
    if (layout_.gauge_of_column[i] != kNoGauge)
      push(layout_.gauge_of_column[i], as_depth(depth, kNoQuality), kNoQuality, column, out);
  }
  if (*p == '\r') ++p;
  at = p + 1;
  return true;
}

float RainRows::as_depth(double depth, std::uint8_t quality) const {
  if (quality == static_cast<std::uint8_t>(Quality::missing)) return kMissing;
  return static_cast<float>(depth * mm_per_unit_);
}

// ---- the plain way: any columns, quotes, and every error ---------------------------------------

void RainRows::slow_row(std::string_view line, ParsedRain& out) {
  if (trimmed(line).empty() || trimmed(line) == "\r") return;
  fields_ = row_.split(line, layout_.columns);
  const CsvField& time = fields_[static_cast<std::size_t>(layout_.time)];
  time_length_ = 0;
  if (!take_time(time.text, time.column))
    throw RowFailure{
        ErrorCode::malformed_input,
        "time " + quoted_for_message(time.text) + " is not a time; write it as 2021-03-04T10:00Z",
        time.column};
  if (layout_.wide)
    wide_row(out);
  else
    long_row(out);
}

void RainRows::long_row(ParsedRain& out) {
  const auto field = [&](int column) { return fields_[static_cast<std::size_t>(column)]; };
  const CsvField id = field(layout_.gauge);
  const CsvField depth_field = field(layout_.depth);
  if (id.text.empty())
    throw RowFailure{ErrorCode::malformed_input, "the gauge is empty; fill it in", id.column};
  const std::uint8_t quality =
      layout_.quality == kNoColumn ? kNoQuality : read_quality(field(layout_.quality));
  const double depth = read_depth(depth_field);
  const bool has_since = layout_.since != kNoColumn && !is_missing_word(field(layout_.since).text);
  const std::int64_t since = has_since ? read_since(field(layout_.since)) : 0;
  const std::uint32_t gauge = ids_.find(id.text);
  if (gauge == kNoGauge) {
    if (options_.strict)
      throw RowFailure{ErrorCode::inconsistent_input,
                       "gauge " + quoted_for_message(id.text) +
                           " is not in the gauge list; add it there, or leave out --strict",
                       id.column};
    count_unknown(id.text, out);
    return;
  }
  const float depth_mm = as_depth(depth, quality);
  if (has_since && !std::isnan(depth_mm))
    out.totals.push_back({gauge, since, time_s_, depth_mm, out.lines, depth_field.column});
  else
    push(gauge, depth_mm, quality, depth_field.column, out);
  const bool other_counter =
      layout_.origin != kNoColumn && field(layout_.origin).text == word(Origin::other_counter);
  if (other_counter) out.other_counter.push_back({gauge, time_s_});
}

void RainRows::count_unknown(std::string_view id, ParsedRain& out) {
  const auto found = out.unknown.find(id);
  if (found != out.unknown.end())
    ++found->second;
  else
    out.unknown.emplace(std::string(id), 1);
}

void RainRows::wide_row(ParsedRain& out) {
  for (std::size_t i = 0; i < fields_.size(); ++i) {
    if (static_cast<int>(i) == layout_.time) continue;
    const double depth = read_depth(fields_[i]);
    if (layout_.gauge_of_column[i] != kNoGauge)
      push(layout_.gauge_of_column[i], as_depth(depth, kNoQuality), kNoQuality, fields_[i].column,
           out);
  }
}

double RainRows::read_depth(const CsvField& field) const {
  if (is_missing_word(field.text)) return std::numeric_limits<double>::quiet_NaN();
  const auto refuse = [&](const std::string& what) {
    throw RowFailure{ErrorCode::malformed_input,
                     "depth " + quoted_for_message(field.text) + " is " + what +
                         "; correct it, or leave it empty where it is missing",
                     field.column};
  };
  double value = 0;
  const char* const end = field.text.data() + field.text.size();
  const auto [stop, code] = std::from_chars(field.text.data(), end, value);
  if (stop != end || code == std::errc::invalid_argument || std::isnan(value))
    refuse("not a number");
  if (field.text.front() == '-' && (value < 0 || code == std::errc::result_out_of_range))
    refuse("negative");
  const bool tiny =
      code == std::errc::result_out_of_range && field.text.find("e-") != std::string_view::npos;
  if (!tiny && (code == std::errc::result_out_of_range ||
                !std::isfinite(static_cast<float>(value * mm_per_unit_))))
    refuse("infinite");
  return tiny ? 0.0 : value + 0.0;  // -0 becomes 0
}

std::uint8_t RainRows::read_quality(const CsvField& field) const {
  if (is_missing_word(field.text)) return kNoQuality;
  const auto mapped = options_.quality_codes.find(field.text);
  if (mapped != options_.quality_codes.end()) return static_cast<std::uint8_t>(mapped->second);
  if (const auto own = parse_quality(field.text)) return static_cast<std::uint8_t>(*own);
  throw RowFailure{ErrorCode::malformed_input,
                   "quality " + quoted_for_message(field.text) +
                       " is not known; map it in [quality_codes] of the configuration",
                   field.column};
}

// ---- times -----------------------------------------------------------------------------------

std::int64_t RainRows::read_since(const CsvField& field) {
  const std::int64_t time_s = time_s_;
  const bool has_offset = has_offset_;
  const bool read = take_time(field.text, field.column);
  const std::int64_t since_s = std::exchange(time_s_, time_s);
  const bool since_has_offset = std::exchange(has_offset_, has_offset);
  const auto refuse = [&](ErrorCode code, const std::string& what) {
    throw RowFailure{code, "since " + quoted_for_message(field.text) + what, field.column};
  };
  if (!read) refuse(ErrorCode::malformed_input, " is not a time; write it as 2021-03-04T10:00Z");
  if (since_has_offset != has_offset)
    refuse(ErrorCode::inconsistent_input,
           " and its time mix an offset with none; write both the same way");
  if (since_s >= time_s)
    refuse(ErrorCode::inconsistent_input, " is not before its time; correct one of them");
  return since_s;
}

bool RainRows::take_time(std::string_view text, int column) {
  std::optional<RowTime> time;
  try {
    time = clock_.read(text);
  } catch (const Error& error) {
    throw RowFailure{error.code(), error.what(), column};
  }
  if (!time) return false;
  const auto seconds = std::chrono::floor<std::chrono::seconds>(time->utc);
  if (seconds != time->utc)
    throw RowFailure{ErrorCode::inconsistent_input,
                     "time " + quoted_for_message(text) +
                         " lies within a second; depths per step need whole seconds",
                     column};
  time_s_ = seconds.time_since_epoch().count();
  has_offset_ = time->has_offset;
  return true;
}

}  // namespace gaugeloom
