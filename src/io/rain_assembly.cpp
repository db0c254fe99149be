#include "io/rain_assembly_internal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numeric>
#include <utility>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();
constexpr std::uint32_t kNoRow = UINT32_MAX;
constexpr std::size_t kTile = 64;  // gauges and steps of one transposed tile: 16 KiB

Instant instant(std::int64_t time_s) { return Instant{std::chrono::seconds{time_s}}; }

// Largest depth measured on earth over a duration: about 425 mm h^-0.47 times duration^0.47.
// Source: J. L. H. Paulhus, Monthly Weather Review 93 (1965) 331, R = 422 D^0.475; from memory, and
// doubled here since a limit for --strict must not stop a true record.
double strict_limit_mm(double hours) { return 2 * 422 * portable_pow(hours, 0.475); }

class Assembly {
 public:
  Assembly(RainStaging& staging, const GaugeIds& ids, const RainReadOptions& options,
           std::span<const std::string> files)
      : staging_(staging), ids_(ids), options_(options), files_(files) {}

  RainRecord make(Notices& notices) {
    find_step();
    find_axis();
    const BulkAcross across;  // from rows of one time to rows of one gauge
    const std::vector<std::uint32_t> absent = absent_gauges(notices);
    BulkVector<float> values = transposed(absent);
    RainRecord record;
    if (staging_.has_quality()) record.quality = qualities(values);
    place_totals(values, record);
    if (options_.strict) refuse_beyond_record(values);
    record.depths = RainTable(axis_, ids_.count(), std::move(values));
    if (staging_.has_quality()) settle_qualities(record);
    for (const OtherCounterRow& row : staging_.other_counter())
      record.other_counter.push_back({row.gauge, step_of(row.time_s)});
    return record;
  }

 private:
  [[noreturn]] void refuse(const std::string& sentence, std::uint32_t file, long line,
                           int column = 0) const {
    throw Error(ErrorCode::inconsistent_input, sentence, {files_[file], line, column});
  }

  // The step given or, else, the smallest difference between two times.
  void find_step() {
    const auto& times = staging_.times();
    order_.resize(times.size());
    std::iota(order_.begin(), order_.end(), 0U);
    std::sort(order_.begin(), order_.end(),
              [&](std::uint32_t a, std::uint32_t b) { return times[a].time_s < times[b].time_s; });
    step_s_ = options_.step ? options_.step->count() : 0;
    if (!options_.step)
      for (std::size_t i = 1; i < order_.size(); ++i) {
        const std::int64_t apart = times[order_[i]].time_s - times[order_[i - 1]].time_s;
        if (step_s_ == 0 || apart < step_s_) step_s_ = apart;
      }
    if (step_s_ == 0)
      refuse("all rows have one time, so the step cannot be found; give --step", times.front().file,
             0);
    const std::int64_t first_s = times[order_.front()].time_s;
    for (const std::uint32_t row : order_) {
      if ((times[row].time_s - first_s) % step_s_ == 0) continue;
      refuse(fmt::format("time {} is off the step of {} {}, counted from {}; correct it or give "
                         "another --step",
                         format_utc(instant(times[row].time_s)),
                         format_duration(std::chrono::seconds{step_s_}),
                         options_.step ? "given" : "found from the data",
                         format_utc(instant(first_s))),
             times[row].file, times[row].line);
    }
  }

  void find_axis() {
    const auto& times = staging_.times();
    std::int64_t first_s = times[order_.front()].time_s;
    const std::int64_t last_s = times[order_.back()].time_s;
    label_s_ = options_.label == StepLabel::start ? step_s_ : 0;
    first_s += label_s_;
    for (const StagedTotal& total : staging_.totals())
      first_s = std::min(first_s, total_end_s(total) - steps_of(total) * step_s_ + step_s_);
    const auto steps = static_cast<std::size_t>((last_s + label_s_ - first_s) / step_s_) + 1;
    const double cells = static_cast<double>(steps) * static_cast<double>(ids_.count());
    constexpr double kAlwaysFine = 1 << 24;
    if (cells > kAlwaysFine && cells > 1000.0 * static_cast<double>(staging_.entries()))
      throw Error(
          ErrorCode::inconsistent_input,
          fmt::format("the times from {} to {} make {} steps of {}, with {} rows in all; "
                      "correct the times or give --step",
                      format_utc(instant(first_s)), format_utc(instant(last_s + label_s_)), steps,
                      format_duration(std::chrono::seconds{step_s_}), staging_.entries()));
    axis_ = StepAxis(instant(first_s), std::chrono::seconds{step_s_}, steps);
    row_of_step_.assign(steps, kNoRow);
    for (const std::uint32_t row : order_)
      row_of_step_[static_cast<std::size_t>((times[row].time_s + label_s_ - first_s) / step_s_)] =
          row;
  }

  // Of the time of a row, which lies on the axis.
  std::size_t step_of(std::int64_t time_s) const {
    return *axis_.ending_at(instant(time_s + label_s_));
  }

  // A total's time marks its end, whatever --label says of plain rows.
  std::int64_t total_end_s(const StagedTotal& total) const { return total.row.time_s; }
  std::int64_t steps_of(const StagedTotal& total) const {
    const std::int64_t length = total.row.time_s - total.row.since_s;
    if (length % step_s_ != 0)
      refuse(fmt::format("this total covers {}, which is no whole number of steps of {}; correct "
                         "since",
                         format_duration(std::chrono::seconds{length}),
                         format_duration(std::chrono::seconds{step_s_})),
             total.file, total.row.line, total.row.column);
    return length / step_s_;
  }

  std::vector<std::uint32_t> absent_gauges(Notices& notices) const {
    std::vector<std::uint32_t> absent;
    for (std::uint32_t g = 0; g < ids_.count(); ++g)
      if (!staging_.gauge_seen(g)) absent.push_back(g);
    if (!absent.empty() && options_.tell_absent)
      notices.push_back(
          fmt::format("{} of {} gauges in the list have no row in the rain files "
                      "(first: {}); they are missing throughout",
                      absent.size(), ids_.count(), ids_.id(absent.front())));
    return absent;
  }

  // Gauge-major depths, NaN where missing.
  BulkVector<float> transposed(const std::vector<std::uint32_t>& absent) const {
    const std::size_t gauges = ids_.count();
    const std::size_t steps = axis_.count();
    BulkVector<float> values(gauges * steps);
    const float unset = options_.absent == AbsentRow::zero ? 0.0F : kNaN;
    parallel_for((steps + kTile - 1) / kTile, options_.threads, [&](std::size_t stretch) {
      const std::size_t first = stretch * kTile;
      const std::size_t count = std::min(kTile, steps - first);
      for (std::size_t gauge = 0; gauge < gauges; gauge += kTile)
        transpose_tile(values, gauge, std::min(kTile, gauges - gauge), first, count, unset);
    });
    for (const std::uint32_t gauge : absent)
      std::fill_n(values.begin() + static_cast<long>(gauge * steps), steps, kNaN);
    return values;
  }

  void transpose_tile(BulkVector<float>& values, std::size_t gauge, std::size_t gauges,
                      std::size_t step, std::size_t steps, float unset) const {
    std::array<float, kTile * kTile> tile;
    for (std::size_t s = 0; s < steps; ++s) {
      const std::uint32_t row = row_of_step_[step + s];
      const std::uint32_t* const cells = row == kNoRow ? nullptr : staging_.cells(row) + gauge;
      for (std::size_t g = 0; g < gauges; ++g) {
        const std::uint32_t bits = cells == nullptr ? RainStaging::kUnset : cells[g];
        tile[g * kTile + s] = bits == RainStaging::kUnset ? unset : std::bit_cast<float>(bits);
      }
    }
    for (std::size_t g = 0; g < gauges; ++g)
      std::copy_n(tile.begin() + static_cast<long>(g * kTile), steps,
                  values.begin() + static_cast<long>((gauge + g) * axis_.count() + step));
  }

  // As given; unchecked where a depth came without one.
  QualityTable qualities(const BulkVector<float>& values) const {
    const std::size_t steps = axis_.count();
    QualityTable table(ids_.count(), steps, Quality::missing);
    for (std::size_t s = 0; s < steps; ++s) {
      const std::uint32_t row = row_of_step_[s];
      const std::uint8_t* given = row == kNoRow ? nullptr : staging_.qualities(row);
      for (std::size_t g = 0; g < ids_.count(); ++g)
        if (given != nullptr && given[g] != kNoQuality)
          table.at(g, s) = static_cast<Quality>(given[g]);
        else if (!std::isnan(values[g * steps + s]))
          table.at(g, s) = Quality::unchecked;
    }
    return table;
  }

  // What is missing after all has no other quality, and what is there is not missing.
  static void settle_qualities(RainRecord& record) {
    for (std::size_t g = 0; g < record.depths.gauge_count(); ++g)
      for (std::size_t s = 0; s < record.depths.step_count(); ++s)
        if (!record.depths.is_measured(g, s))
          record.quality.at(g, s) = Quality::missing;
        else if (record.quality.at(g, s) == Quality::missing)
          record.quality.at(g, s) = Quality::unchecked;
  }

  void place_totals(BulkVector<float>& values, RainRecord& record) {
    auto& totals = staging_.totals();
    std::stable_sort(totals.begin(), totals.end(), [](const StagedTotal& a, const StagedTotal& b) {
      return std::pair(a.row.gauge, a.row.time_s) < std::pair(b.row.gauge, b.row.time_s);
    });
    const StagedTotal* before = nullptr;
    for (const StagedTotal& total : totals) {
      if (before != nullptr && before->row.gauge == total.row.gauge &&
          total.row.since_s < before->row.time_s) {
        if (total.row.since_s != before->row.since_s || total.row.time_s != before->row.time_s ||
            total.row.depth_mm != before->row.depth_mm)
          refuse(fmt::format("gauge {} has two totals that overlap, of {} and {} mm until {}; keep "
                             "one",
                             ids_.id(total.row.gauge), before->row.depth_mm, total.row.depth_mm,
                             format_utc(instant(total.row.time_s))),
                 total.file, total.row.line, total.row.column);
        continue;
      }
      place_total(total, values, record);
      before = &total;
    }
  }

  void place_total(const StagedTotal& total, BulkVector<float>& values, RainRecord& record) const {
    const Interval over{instant(total.row.since_s), instant(total.row.time_s)};
    const auto steps = static_cast<std::size_t>(steps_of(total));
    const auto last = axis_.ending_at(over.to);
    if (!last || *last + 1 < steps)
      refuse(fmt::format("this total ends at {}, off the step of {}; correct its time",
                         format_utc(over.to), format_duration(axis_.step())),
             total.file, total.row.line, total.row.column);
    const std::size_t first = total.row.gauge * axis_.count() + *last + 1 - steps;
    for (std::size_t i = first; i < first + steps; ++i) {
      const auto row = row_of_step_[i - total.row.gauge * axis_.count()];
      const bool has_row =
          row != kNoRow && staging_.cells(row)[total.row.gauge] != RainStaging::kUnset;
      if (has_row && !std::isnan(values[i]))
        refuse(fmt::format("gauge {} has a total of {} mm from {} to {} and a depth of a step "
                           "within; keep one of them",
                           ids_.id(total.row.gauge), total.row.depth_mm, format_utc(over.from),
                           format_utc(over.to)),
               total.file, total.row.line, total.row.column);
      values[i] = kNaN;
    }
    if (steps == 1)
      values[first] = total.row.depth_mm;
    else
      record.totals.push_back({total.row.gauge, over, static_cast<double>(total.row.depth_mm)});
  }

  void refuse_beyond_record(const BulkVector<float>& values) const {
    const double limit_mm = strict_limit_mm(axis_.step_hours());
    for (std::size_t i = 0; i < values.size(); ++i)
      if (static_cast<double>(values[i]) > limit_mm)
        throw Error(
            ErrorCode::inconsistent_input,
            fmt::format("gauge {} has {} mm at {}, more than fell anywhere in {}; correct "
                        "it, or leave out --strict",
                        ids_.id(static_cast<std::uint32_t>(i / axis_.count())), values[i],
                        format_utc(axis_.end(i % axis_.count())), format_duration(axis_.step())));
  }

  RainStaging& staging_;
  const GaugeIds& ids_;
  const RainReadOptions& options_;
  std::span<const std::string> files_;
  std::vector<std::uint32_t> order_;  // rows of the staging by time
  std::int64_t step_s_ = 0;
  std::int64_t label_s_ = 0;  // from a time as written to the end of its step
  StepAxis axis_;
  std::vector<std::uint32_t> row_of_step_;
};

}  // namespace

RainRecord assemble_rain(RainStaging& staging, const GaugeIds& ids, const RainReadOptions& options,
                         std::span<const std::string> files, Notices& notices) {
  return Assembly(staging, ids, options, files).make(notices);
}

}  // namespace gaugeloom
