#pragma once
// Rain files to a rain record: depth per gauge and step.
//
// Long:  time,gauge,depth_mm[,quality][,since], columns in any order, others ignored.
// Wide:  time,<gauge>,<gauge>,...
// Either plain or gzip (told by its first bytes); UTF-8 with or without a byte order mark; LF or
// CRLF; fields may be quoted (RFC 4180). A row is one line of at most 16 MiB, and has at most
// 1 048 576 columns. Empty and NA are missing, and so is a depth of quality missing. A depth over
// (since, time] with since more than one step earlier is an accumulated total; the steps it covers
// are then missing. Depths are read as doubles and kept as floats.

#include <chrono>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_record.hpp"

namespace gaugeloom {

enum class DepthUnit { mm, inch };       // column depth_mm or depth_in; 1 in = 25.4 mm exactly
enum class AbsentRow { missing, zero };  // what a step without a row means

struct RainReadOptions {
  DepthUnit unit = DepthUnit::mm;
  AbsentRow absent = AbsentRow::missing;  // zero needs `step`
  std::optional<std::chrono::minutes>
      utc_offset{};                            // of times without an offset; +00:00 with one
                                               // notice when neither this nor time_zone is set
  std::optional<std::string> time_zone{};      // Area/City of times without an offset
  StepLabel label = StepLabel::end;            // which end of its step a time marks
  std::optional<std::chrono::seconds> step{};  // else the smallest difference between two times,
                                               // which must divide all others
  std::map<std::string, Quality, std::less<>> quality_codes{};  // beside our own words
  bool tell_absent = true;  // count gauges without a row in the notices
  bool strict = false;      // unknown gauges and depths beyond the world record are errors
  int threads = 0;          // 0 = all cores; the result does not depend on it

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// The files meant by files, folders (their *.csv and *.csv.gz, not deeper) and patterns (*, ?,
// [...]); sorted within a folder or pattern, in the order given, each once.
// Throws Error{io_failure} for what is not there, or a folder or pattern that holds nothing.
std::vector<std::string> rain_files(std::span<const std::string> paths);

// Reads all files into one record; rows of the table in the order of the network.
//
// Laws (each one is a test):
//   (1) the order of the files, of the columns and the number of threads do not matter;
//   (2) a table written by write_rain reads back to the same depths;
//   (3) missing is NaN and a cleared bit, never 0.
// Counted in `notices`: rows of gauges not in the network, identical repeated rows, gauges without
// a row (missing throughout, also with AbsentRow::zero), times without an offset taken as UTC. Of
// two qualities of a repeated row the less trusted one is kept.
// Throws: Error{invalid_option} for options.problem(); Error{malformed_input} and
//         Error{inconsistent_input} with file, line and column for what the format forbids: no
//         text, a missing column, an unreadable time or depth, a negative or infinite depth, times
//         of one gauge that go back within a file, a time off the step, offsets mixed with none,
//         two values of one gauge and step that differ; Error{io_failure} for what cannot be read.
//         A table that does not fit into memory is an Error{inconsistent_input} as well.
// Cost:   one pass over the bytes, in parallel; 4 bytes per value beside the table while reading.
RainRecord read_rain(std::span<const std::string> paths, const Network& network,
                     const RainReadOptions& options, Notices& notices);

// The same of one text in memory, plain or gzip; `name` stands for the file in messages.
RainRecord parse_rain(std::string_view text, const std::string& name, const Network& network,
                      const RainReadOptions& options, Notices& notices);

}  // namespace gaugeloom
