#pragma once
// Tip files to a tip record: one row per turn of a bucket.
//
// CSV `time,gauge[,counter]`, columns in any order, others ignored. Plain or gzip, encoding, line
// ends, quotes and limits as in io/rain_reader.hpp. A time has a fraction of up to six digits.

#include <chrono>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/tips/tip_record.hpp"

namespace gaugeloom {

struct TipReadOptions {
  std::optional<std::chrono::minutes> utc_offset{};  // as in RainReadOptions
  std::optional<std::string> time_zone{};
  bool strict = false;  // unknown gauges are errors
  int threads = 0;      // 0 = all cores; the result does not depend on it

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Counters that a record may have: a bucket has one or two.
inline constexpr std::size_t kMostCounters = 16;

// Reads all files into one record. Tips stand in the order of the files and their rows; counters by
// name.
// Laws (each one is a test): (1) the number of threads does not matter, nor the order of columns;
//   (2) the log that write_tips writes reads back to the same tips.
// Counted in `notices`: rows of gauges not in the network, times without an offset taken as UTC.
// Throws: Error{invalid_option} for options.problem(); Error{malformed_input} and
//         Error{inconsistent_input} with file, line and column for what the format forbids: no
//         text, a missing column, a column of depths (a rain file), an unreadable time, an empty
//         gauge, offsets mixed with none, more counters than kMostCounters, no tip at all;
//         Error{io_failure} for what cannot be read, or does not fit into memory.
// Cost:   one pass over the bytes, in parallel; 8 bytes per tip.
TipRecord read_tips(std::span<const std::string> paths, const Network& network,
                    const TipReadOptions& options, Notices& notices);

// The same of one text in memory, plain or gzip; `name` stands for the file in messages.
TipRecord parse_tips(std::string_view text, const std::string& name, const Network& network,
                     const TipReadOptions& options, Notices& notices);

}  // namespace gaugeloom
