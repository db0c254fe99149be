#include "io/rain_staging_internal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kCellsPerSlab = std::size_t{1} << 18;  // 1 MiB

std::string time_text(std::int64_t time_s) {
  return format_utc(Instant{std::chrono::seconds{time_s}});
}

}  // namespace

RainStaging::RainStaging(const GaugeIds& ids, const RainReadOptions& options)
    : ids_(ids),
      options_(options),
      gauges_(ids.count()),
      most_bytes_(0.8 * bulk_room()),
      rows_per_slab_(std::max<std::size_t>(1, kCellsPerSlab / std::max<std::size_t>(1, gauges_))),
      last_time_(gauges_),
      seen_(gauges_) {}

void RainStaging::begin_file() {
  ++files_;
  file_bare_ = false;
  file_offset_ = false;
  std::fill(last_time_.begin(), last_time_.end(), std::numeric_limits<std::int64_t>::min());
}

std::optional<PlacementProblem> RainStaging::place(const ParsedRain& block, long lines_before) {
  const bool with_quality = !block.qualities.empty();
  if (with_quality) has_quality_ = true;
  std::size_t entry = 0;
  for (const RainRun& run : block.runs) {
    std::string problem = check_zone(run.has_offset);
    if (!problem.empty())
      return PlacementProblem{ErrorCode::inconsistent_input, problem, entry, true};
    const std::uint32_t row = row_of(run.time_s, lines_before + run.line);
    std::uint32_t* const cells = cells_of(row);
    for (const std::size_t end = entry + run.entries; entry < end; ++entry) {
      const std::uint32_t gauge = block.gauges[entry];
      const float depth = block.depths_mm[entry];
      const std::uint32_t bits = depth == depth ? std::bit_cast<std::uint32_t>(depth) : kMissing;
      if (run.time_s < last_time_[gauge])
        return PlacementProblem{ErrorCode::inconsistent_input, goes_back(gauge, run.time_s), entry,
                                true};
      last_time_[gauge] = run.time_s;
      if (cells[gauge] == kUnset)
        cells[gauge] = bits;
      else if (problem = merge(cells[gauge], bits, gauge, run.time_s); !problem.empty())
        return PlacementProblem{ErrorCode::inconsistent_input, problem, entry};
      if (with_quality) place_quality(row, gauge, block.qualities[entry]);
    }
    entries_ += static_cast<long>(run.entries);
  }
  other_counter_.insert(other_counter_.end(), block.other_counter.begin(),
                        block.other_counter.end());
  for (const RainTotalRow& total : block.totals) {
    row_of(total.time_s, lines_before + total.line);
    seen_[total.gauge] = 1;
    totals_.push_back({total, files_ - 1});
    totals_.back().row.line += lines_before;
    ++entries_;
  }
  return std::nullopt;
}

bool RainStaging::gauge_seen(std::uint32_t gauge) const {
  if (seen_[gauge] != 0) return true;
  for (std::size_t row = 0; row < times_.size(); ++row)
    if (cells(row)[gauge] != kUnset) return true;
  return false;
}

void RainStaging::place_quality(std::uint32_t row, std::uint32_t gauge, std::uint8_t quality) {
  while (quality_slabs_.size() < slabs_.size()) {
    quality_slabs_.emplace_back(rows_per_slab_ * gauges_, kNoQuality);
  }
  std::uint8_t& cell =
      quality_slabs_[row / rows_per_slab_][(row % rows_per_slab_) * gauges_ + gauge];
  if (quality == kNoQuality) return;
  cell = cell == kNoQuality ? quality : std::max(cell, quality);  // the least trusted of repeats
}

std::string RainStaging::merge(std::uint32_t& cell, std::uint32_t bits, std::uint32_t gauge,
                               std::int64_t time_s) {
  if (cell == bits) {
    ++duplicates_;
    return {};
  }
  if (bits == kMissing) return {};
  if (cell == kMissing) {
    cell = bits;
    return {};
  }
  return fmt::format("gauge {} has two values for {} ({} and {} mm); keep one", ids_.id(gauge),
                     time_text(time_s), std::bit_cast<float>(cell), std::bit_cast<float>(bits));
}

std::string RainStaging::goes_back(std::uint32_t gauge, std::int64_t time_s) const {
  return fmt::format("gauge {} goes back in time, from {} to {}; sort its rows by time",
                     ids_.id(gauge), time_text(last_time_[gauge]), time_text(time_s));
}

std::string RainStaging::check_zone(bool has_offset) {
  (has_offset ? file_offset_ : file_bare_) = true;
  if (file_offset_ && file_bare_)
    return has_offset ? "this time has an offset and earlier ones of the file have none; write all "
                        "of them the same way"
                      : "this time has no offset and earlier ones of the file have one; write all "
                        "of them the same way";
  (has_offset ? offset_seen_ : bare_) = true;
  const bool zone_given = options_.utc_offset || options_.time_zone;
  if (offset_seen_ && bare_ && !zone_given)
    return "this file writes times " + std::string(has_offset ? "with" : "without") +
           " an offset and an earlier one does not; give --utc-offset or --time-zone for those "
           "without";
  return {};
}

std::uint32_t RainStaging::row_of(std::int64_t time_s, long line) {
  if (!times_.empty()) {
    if (times_[last_row_].time_s == time_s) return last_row_;
    const std::uint32_t guess = next_row_[last_row_];
    if (times_[guess].time_s == time_s) return last_row_ = guess;
  }
  const auto found = rows_.find(time_s);
  const std::uint32_t row = found == rows_.end() ? add_row(time_s, line) : found->second;
  next_row_[last_row_] = row;
  return last_row_ = row;
}

std::uint32_t RainStaging::add_row(std::int64_t time_s, long line) {
  check_memory(time_s, line);
  const auto row = static_cast<std::uint32_t>(times_.size());
  rows_.emplace(time_s, row);
  times_.push_back({time_s, files_ - 1, line});
  next_row_.push_back(row);
  if (row / rows_per_slab_ == slabs_.size()) {
    slabs_.emplace_back(rows_per_slab_ * gauges_, kUnset);
  }
  return row;
}

// The table has at least one step per greatest common divisor of all differences: no step that fits
// the times makes it smaller.
void RainStaging::check_memory(std::int64_t time_s, long line) {
  if (times_.empty()) first_s_ = last_s_ = time_s;
  common_s_ = std::gcd(common_s_, time_s - first_s_);
  const std::int64_t low = std::min(first_s_, time_s);
  const std::int64_t high = std::max(last_s_, time_s);
  if (low < first_s_) common_s_ = std::gcd(common_s_, first_s_ - low);
  first_s_ = low;
  last_s_ = high;
  if (common_s_ == 0) return;
  const std::int64_t whole_steps = (high - low) / common_s_;
  const double steps = static_cast<double>(whole_steps) + 1;
  constexpr double kBytesPerCell = 8;  // while reading and in the table
  if (steps * static_cast<double>(gauges_) * kBytesPerCell < most_bytes_) return;
  throw Error(ErrorCode::inconsistent_input,
              fmt::format("the times from {} to {} lie {} apart at the least, which makes {:.0f} "
                          "steps of {} gauges, more than fits into memory; correct the times or "
                          "read fewer files",
                          time_text(low), time_text(high),
                          format_duration(std::chrono::seconds{common_s_}), steps, gauges_),
              {"", line, 0});
}

}  // namespace gaugeloom
