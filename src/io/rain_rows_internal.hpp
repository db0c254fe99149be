#pragma once
// The rows of one block of a rain file as plain entries, in the order of the file. Nothing here
// looks beyond the block, so that blocks are parsed in parallel.

#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/time/time_zone.hpp"
#include "io/gauge_scan_internal.hpp"
#include "io/rain_layout_internal.hpp"
#include "io/row_clock_internal.hpp"
#include "io/row_fields_internal.hpp"

namespace gaugeloom {

inline constexpr std::uint8_t kNoQuality = 255;

// Consecutive entries of one time.
struct RainRun {
  std::int64_t time_s = 0;  // seconds of UTC since 1970
  bool has_offset = false;  // whether the file wrote one
  std::size_t entries = 0;
  long line = 0;  // of the first, from 1 within the block
};

// A depth over (since, time].
struct RainTotalRow {
  std::uint32_t gauge = 0;
  std::int64_t since_s = 0;
  std::int64_t time_s = 0;
  float depth_mm = 0;
  long line = 0;  // from 1, within the block
  int column = 0;
};

// A step that the other counter of its bucket gave.
struct OtherCounterRow {
  std::uint32_t gauge = 0;
  std::int64_t time_s = 0;
};

struct ParsedRain {
  std::vector<RainRun> runs;
  std::vector<std::uint32_t> gauges;  // one per entry; NaN depth = missing
  std::vector<float> depths_mm;
  std::vector<std::uint8_t> qualities;  // one per entry where the layout has a quality
  std::vector<RainTotalRow> totals;
  std::vector<OtherCounterRow> other_counter;
  std::map<std::string, long, std::less<>> unknown;  // rows of gauges not in the network
  long lines = 0;
  int last_column = 0;                // where the depth of the last entry stands
  std::optional<RowProblem> problem;  // what stopped the block; the entries before it hold

  void clear();
};

class RainRows {
 public:
  RainRows(const RainLayout& layout, const GaugeIds& ids, const RainReadOptions& options,
           const TimeZone* zone);

  // Parses a block (see LineBlock: newline at the end, slack behind), or its first lines up to the
  // one with entry number `most_entries` (from 1): then `lines` and `last_column` say where it is.
  void parse(std::string_view text, ParsedRain& out,
             std::size_t most_entries = std::numeric_limits<std::size_t>::max());

 private:
  bool fast_row(const char*& at, ParsedRain& out);
  bool fast_extra(const char*& at, int i, std::uint8_t& quality, bool& other_counter) const;
  bool fast_time(const char*& at);
  bool fast_wide_row(const char*& at, ParsedRain& out);
  void slow_row(std::string_view line, ParsedRain& out);
  void long_row(ParsedRain& out);
  void wide_row(ParsedRain& out);
  static void count_unknown(std::string_view id, ParsedRain& out);
  double read_depth(const CsvField& field) const;
  std::uint8_t read_quality(const CsvField& field) const;
  std::int64_t read_since(const CsvField& field);
  bool take_time(std::string_view text, int column);  // sets time_s_ and has_offset_
  float as_depth(double depth, std::uint8_t quality) const;
  void push(std::uint32_t gauge, float depth_mm, std::uint8_t quality, int column,
            ParsedRain& out) const;

  const RainLayout& layout_;
  const GaugeIds& ids_;
  const RainReadOptions& options_;
  RowClock clock_;
  double mm_per_unit_;
  bool fast_layout_;  // time, gauge and depth are the first three columns
  GaugeScan gauge_scan_;
  std::string time_text_;        // the last time as written, a comma, and room behind
  std::size_t time_length_ = 0;  // with the comma; 0 = none
  std::int64_t time_s_ = 0;
  bool has_offset_ = false;
  std::size_t wanted_ = 0;
  RowFields row_;
  std::span<const CsvField> fields_;  // of the last plain row
};

}  // namespace gaugeloom
