#pragma once
// Entries of all rain files, collected time by time until the axis is known. One row of depths per
// distinct time, in the order of appearance; blocks are placed one after another in the order of
// the files, so that what is found does not depend on the number of threads.

#include <cstdint>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "io/rain_rows_internal.hpp"

namespace gaugeloom {

// What is wrong with an entry of a block; the caller finds its line.
struct PlacementProblem {
  ErrorCode code = ErrorCode::inconsistent_input;
  std::string sentence;
  std::size_t entry = 0;    // from 0
  bool about_time = false;  // not about the depth
};

struct StagedTotal {
  RainTotalRow row;  // its line counted within the file
  std::uint32_t file = 0;
};

class RainStaging {
 public:
  RainStaging(const GaugeIds& ids, const RainReadOptions& options);

  // Times of a gauge may begin anew.
  void begin_file();
  // Adds the entries of a block of the current file, which has `lines_before` lines before it.
  // Throws Error{inconsistent_input}, with a line and no file, for more times than fit into memory.
  std::optional<PlacementProblem> place(const ParsedRain& block, long lines_before);

  long duplicates() const { return duplicates_; }  // identical repeated rows
  long entries() const { return entries_; }
  bool saw_bare_time() const { return bare_; }  // one without an offset
  bool has_quality() const { return has_quality_; }

  // What the record is made from.
  struct TimeRow {
    std::int64_t time_s = 0;
    std::uint32_t file = 0;  // where it was seen first
    long line = 0;
  };
  const std::vector<TimeRow>& times() const { return times_; }
  const std::vector<StagedTotal>& totals() const { return totals_; }
  std::vector<StagedTotal>& totals() { return totals_; }
  const std::vector<OtherCounterRow>& other_counter() const { return other_counter_; }
  // Depths of one time, one per gauge: bits of a float, kUnset where no row was read.
  const std::uint32_t* cells(std::size_t row) const {
    return slabs_[row / rows_per_slab_].data() + (row % rows_per_slab_) * gauges_;
  }
  // Qualities of one time, kNoQuality where none was read. Only with has_quality().
  const std::uint8_t* qualities(std::size_t row) const {
    return quality_slabs_[row / rows_per_slab_].data() + (row % rows_per_slab_) * gauges_;
  }
  bool gauge_seen(std::uint32_t gauge) const;  // in any row

  static constexpr std::uint32_t kUnset = 0xFFFFFFFF;    // a NaN that no text becomes
  static constexpr std::uint32_t kMissing = 0x7FC00000;  // an explicit missing value

 private:
  std::uint32_t row_of(std::int64_t time_s, long line);
  std::uint32_t add_row(std::int64_t time_s, long line);
  void check_memory(std::int64_t time_s, long line);
  std::uint32_t* cells_of(std::uint32_t row) {
    return slabs_[row / rows_per_slab_].data() + (row % rows_per_slab_) * gauges_;
  }
  void place_quality(std::uint32_t row, std::uint32_t gauge, std::uint8_t quality);
  // Puts a second depth into a cell; what is wrong with it as a sentence, or nothing.
  std::string merge(std::uint32_t& cell, std::uint32_t bits, std::uint32_t gauge,
                    std::int64_t time_s);
  std::string check_zone(bool has_offset);
  std::string goes_back(std::uint32_t gauge, std::int64_t time_s) const;

  const GaugeIds& ids_;
  const RainReadOptions& options_;
  std::size_t gauges_;
  double most_bytes_;  // that the table and what is read may take
  std::size_t rows_per_slab_;
  std::vector<BulkVector<std::uint32_t>> slabs_;
  std::vector<BulkVector<std::uint8_t>> quality_slabs_;
  std::vector<TimeRow> times_;
  std::vector<std::uint32_t> next_row_;  // what followed each row last time
  std::unordered_map<std::int64_t, std::uint32_t> rows_;
  std::uint32_t last_row_ = 0;
  std::vector<std::int64_t> last_time_;  // of each gauge in this file
  std::vector<std::uint8_t> seen_;       // gauges with a total
  std::vector<StagedTotal> totals_;
  std::vector<OtherCounterRow> other_counter_;
  std::uint32_t files_ = 0;
  long duplicates_ = 0;
  long entries_ = 0;
  bool bare_ = false;
  bool offset_seen_ = false;
  bool file_bare_ = false;
  bool file_offset_ = false;
  bool has_quality_ = false;
  std::int64_t common_s_ = 0;  // greatest common divisor of all differences
  std::int64_t first_s_ = 0;
  std::int64_t last_s_ = 0;
};

}  // namespace gaugeloom
