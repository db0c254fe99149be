#include "gaugeloom/io/tip_log_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/number_format.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr int kDecimals = 6;
constexpr std::size_t kLongestStamp = 32;
constexpr std::size_t kLongestTipDepth = 64;
constexpr std::size_t kTipsOfAPart = std::size_t{1} << 14;  // formatted by one thread

std::string quoted(const std::string& text) {
  CsvRows rows;
  rows.text(text);
  return rows.bytes();
}

// Writes instants as format_utc does, of rising times fast: their day is most often the last one's.
class StampText {
 public:
  char* write(char* out, Instant t) {
    if (t < day_ || t >= day_ + std::chrono::days(1)) {
      day_ = std::chrono::floor<std::chrono::days>(t);
      text_ = format_utc(day_).substr(0, 11);
    }
    const std::int64_t us = (t - day_).count();
    const std::int64_t second = us / 1'000'000;
    out = std::copy(text_.begin(), text_.end(), out);
    out = digits(out, second / 3600, 2);
    *out++ = ':';
    out = digits(out, second / 60 % 60, 2);
    *out++ = ':';
    out = digits(out, second % 60, 2);
    if (us % 1'000'000 != 0) {
      *out++ = '.';
      out = digits(out, us % 1'000'000, 6);
    }
    *out++ = 'Z';
    return out;
  }

 private:
  static char* digits(char* out, std::int64_t value, int count) {
    for (int i = count; i-- > 0; value /= 10) out[i] = static_cast<char>('0' + value % 10);
    return out + count;
  }
  Instant day_ = Instant::max() - std::chrono::days(2);
  std::string text_;
};

}  // namespace

TipLogWriter::TipLogWriter(AtomicFile& file, const Network& network,
                           std::vector<std::string> counters, TipLogOptions options)
    : file_(file), network_(network), counters_(std::move(counters)), options_(options) {
  const std::string header = "time,gauge,counter,fate,counted_mm,corrected_mm\n";
  file_.write(options_.gzip ? gzip_member(header) : header);
}

void TipLogWriter::format(const Part& part, std::string& text) const {
  const CounterTips& counter = *part.counter;
  StampText stamp;
  const std::string names =
      "," + quoted(network_.gauges[part.gauge].id) + "," + quoted(counters_[counter.counter]) + ",";
  const std::size_t longest = kLongestStamp + names.size() + 16 + 2 * kLongestTipDepth;
  text.clear();
  for (std::size_t i = part.first; i < part.last; ++i) {
    const std::size_t begin = text.size();
    text.resize(begin + longest);
    char* out = stamp.write(text.data() + begin, counter.tips.stamps[i]);
    out = std::copy(names.begin(), names.end(), out);
    const std::string_view fate = word(counter.tips.fates[i]);
    out = std::copy(fate.begin(), fate.end(), out);
    *out++ = ',';
    out = write_fixed(out, static_cast<double>(counter.counted_mm[i]), kDecimals);
    *out++ = ',';
    out = write_fixed(out, static_cast<double>(counter.corrected_mm[i]), kDecimals);
    *out++ = '\n';
    text.resize(static_cast<std::size_t>(out - text.data()));
  }
  if (options_.gzip) text = gzip_member(text);
}

void TipLogWriter::write(std::size_t first, std::span<const CorrectedGauge> gauges) {
  std::vector<Part> parts;
  for (std::size_t g = 0; g < gauges.size(); ++g)
    for (const CounterTips& counter : gauges[g].counters)
      for (std::size_t tip = 0; tip < counter.tips.stamps.size(); tip += kTipsOfAPart)
        parts.push_back(
            {first + g, &counter, tip, std::min(tip + kTipsOfAPart, counter.tips.stamps.size())});
  texts_.resize(4 * static_cast<std::size_t>(thread_count(options_.threads)));
  for (std::size_t begun = 0; begun < parts.size(); begun += texts_.size()) {
    const std::size_t count = std::min(texts_.size(), parts.size() - begun);
    parallel_for(count, options_.threads,
                 [&](std::size_t i) { format(parts[begun + i], texts_[i]); });
    for (std::size_t i = 0; i < count; ++i) file_.write(texts_[i]);
  }
}

void TipLogWriter::finish() { file_.finish(); }

void write_tip_months(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network) {
  CsvWriter csv(file, {"gauge",       "month",           "correction",       "tips",
                       "kept",        "bounce",          "duplicate",        "test",
                       "outside",     "other_counter",   "counted_mm",       "corrected_mm",
                       "by_pours_mm", "share_to_2_mm_h", "share_to_10_mm_h", "share_to_50_mm_h",
                       "share_above", "matched",         "only_usual",       "only_other",
                       "match_rate"});
  for (std::size_t g = 0; g < network.size(); ++g) {
    for (const TipMonth& month : corrected.months[g]) {
      CsvRows& row = csv.row();
      row.text(network.gauges[g].id)
          .raw(fmt::format("{:04}-{:02}", static_cast<int>(month.month.year()),
                           static_cast<unsigned>(month.month.month())))
          .raw(word(corrected.gauges[g].correction))
          .integer(static_cast<long long>(month.all_tips()));
      for (const std::size_t count : month.tips) row.integer(static_cast<long long>(count));
      row.fixed(month.counted_mm, 3).fixed(month.corrected_mm, 3).fixed(month.by_pours_mm, 3);
      const double known = std::accumulate(month.share.begin(), month.share.end(), 0.0);
      for (const double share : month.share)
        if (known > 0)
          row.fixed(share, 3);
        else
          row.empty();
      if (month.compared)
        row.integer(static_cast<long long>(month.matched))
            .integer(static_cast<long long>(month.only_usual))
            .integer(static_cast<long long>(month.only_other))
            .fixed(month.match_rate(), 3);
      else
        row.empty().empty().empty().empty();
      row.end_row();
    }
  }
  csv.finish();
}

void write_tip_storms(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network) {
  CsvWriter csv(file, {"gauge", "from", "to", "depth_mm", "max_5min_mm", "max_10min_mm",
                       "max_15min_mm", "max_30min_mm", "max_60min_mm"});
  for (std::size_t g = 0; g < network.size(); ++g) {
    for (const StormPeaks& storm : corrected.storms[g]) {
      CsvRows& row = csv.row();
      row.text(network.gauges[g].id)
          .raw(format_utc(std::chrono::floor<std::chrono::seconds>(storm.over.from)))
          .raw(format_utc(std::chrono::ceil<std::chrono::seconds>(storm.over.to)))
          .fixed(storm.depth_mm, 3);
      for (const double mm : storm.most_mm) row.fixed(mm, 3);
      row.end_row();
    }
  }
  csv.finish();
}

void write_pours(AtomicFile& file, std::span<const PourCheck> pours, const Network& network,
                 std::span<const std::string> counters) {
  CsvWriter csv(file,
                {"gauge", "from", "to", "counter", "poured_ml", "poured_mm", "tips", "bucket_mm",
                 "true_mm", "low_mm", "high_mm", "error_percent", "factor", "intensity_mm_h"});
  for (const PourCheck& pour : pours) {
    CsvRows& row = csv.row();
    row.text(network.gauges[pour.gauge].id)
        .raw(format_utc(pour.pour.over.from))
        .raw(format_utc(pour.pour.over.to))
        .text(counters[pour.counter])
        .fixed(pour.pour.poured_ml, 3)
        .fixed(pour.poured_mm, 3)
        .integer(static_cast<long long>(pour.tips))
        .fixed(pour.bucket_mm, 3);
    for (const double depth_mm : {pour.true_mm, pour.low_mm, pour.high_mm})
      row.fixed(depth_mm, kDecimals);
    row.fixed(100 * (pour.bucket_mm / pour.true_mm - 1), 2)
        .fixed(pour.factor, 4)
        .fixed(pour.intensity_mm_h, 3);
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
