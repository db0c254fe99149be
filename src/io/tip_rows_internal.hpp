#pragma once
// The rows of one block of a tip file, in the order of the file. Internal. Nothing here looks
// beyond the block, so that blocks are parsed in parallel.

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/io/tip_reader.hpp"
#include "io/gauge_scan_internal.hpp"
#include "io/row_clock_internal.hpp"
#include "io/row_fields_internal.hpp"

namespace gaugeloom {

struct TipLayout {
  int columns = 0;
  int time = kNoColumn;
  int gauge = kNoColumn;
  int counter = kNoColumn;  // may be absent
};

// Throws Error{malformed_input} for a missing or repeated column, or one of depths.
TipLayout read_tip_layout(std::string_view header, const std::string& file);

struct TipRow {
  Instant time;
  std::uint32_t gauge = 0;
  std::uint32_t counter = 0;  // index in ParsedTips::counters
};

struct ParsedTips {
  std::vector<TipRow> rows;
  std::vector<std::string> counters;
  std::map<std::string, long, std::less<>> unknown;  // rows of gauges not in the network
  long bare_line = 0;                                // first time without an offset; 0 = none
  long offset_line = 0;                              // first time with one
  long lines = 0;
  std::optional<RowProblem> problem;  // what stopped the block; the rows before it hold

  void clear();
};

class TipRows {
 public:
  TipRows(const TipLayout& layout, const GaugeIds& ids, bool strict, const RowClock& clock);

  // Parses a block (see LineBlock: newline at the end, slack behind).
  void parse(std::string_view text, ParsedTips& out);

 private:
  bool fast_row(const char*& at, ParsedTips& out);
  bool fast_time(const char*& at, Instant& time, ParsedTips& out);
  bool fast_day(const char* at);
  void slow_row(std::string_view line, ParsedTips& out);
  Instant read_time(const CsvField& field, ParsedTips& out);
  static std::uint32_t counter_of(std::string_view name, ParsedTips& out, int column);
  void saw(bool has_offset, ParsedTips& out) const;

  const TipLayout& layout_;
  const GaugeIds& ids_;
  bool strict_;
  RowClock clock_;
  GaugeScan gauge_scan_;
  bool fast_layout_;     // time, gauge and then, if there is one, counter come first
  char day_text_[16]{};  // the last day as written
  Instant day_{};        // its beginning, as if it were UTC
  RowFields row_;
  std::span<const CsvField> fields_;  // of the last plain row
};

}  // namespace gaugeloom
