#include "gaugeloom/io/rain_writer.hpp"

#include <algorithm>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/number_format.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();
constexpr int kDepthDecimals = 3;
constexpr std::size_t kCellsPerBlock = std::size_t{1}
                                       << 15;  // one block is formatted by one thread
constexpr std::size_t kLongestDepth = 48;  // of a finite float with three decimals: 39 digits more

// Formats blocks of steps, each into its own text.
class RainFormatter {
 public:
  RainFormatter(const SeriesRecord& record, const Network& network, bool wide)
      : record_(record), wide_(wide) {
    for (const Gauge& gauge : network.gauges) {
      CsvRows quoted;
      quoted.text(gauge.id);
      ids_.push_back(quoted.bytes());
      longest_id_ = std::max(longest_id_, ids_.back().size());
    }
  }

  std::string header() const {
    if (!wide_)
      return "time,gauge,depth_mm,quality,origin,observed_mm,low_mm,high_mm,standard_error_mm\n";
    std::string text = "time";
    for (const std::string& id : ids_) text += "," + id;
    return text + "\n";
  }

  std::string rows(std::size_t first, std::size_t last) const {
    std::string text;
    for (std::size_t step = first; step < last; ++step)
      if (wide_)
        wide_row(text, step);
      else
        long_rows(text, step);
    return text;
  }

 private:
  void wide_row(std::string& text, std::size_t step) const {
    text += format_utc(record_.depth.axis().end(step));
    for (std::size_t g = 0; g < ids_.size(); ++g) {
      text += ',';
      append_fixed(text, static_cast<double>(record_.depth.depth_mm(g, step)), kDepthDecimals);
    }
    text += '\n';
  }

  void long_rows(std::string& text, std::size_t step) const {
    const std::string time = format_utc(record_.depth.axis().end(step)) + ",";
    const std::size_t longest_row = time.size() + longest_id_ + 5 * kLongestDepth + 64;
    const std::size_t begin = text.size();
    text.resize(begin + ids_.size() * longest_row);
    char* out = text.data() + begin;
    for (std::size_t g = 0; g < ids_.size(); ++g) out = long_row(out, time, g, step);
    text.resize(static_cast<std::size_t>(out - text.data()));
  }

  char* long_row(char* out, const std::string& time, std::size_t gauge, std::size_t step) const {
    const std::size_t index = record_.index(gauge, step);
    out = copy(out, time);
    out = copy(out, ids_[gauge]);
    out = depth(out, record_.depth.depth_mm(gauge, step));
    *out++ = ',';
    out = copy(out, word(record_.quality.at(gauge, step)));
    *out++ = ',';
    out = copy(out, word(record_.origin[index]));
    out = depth(out, said(gauge, step));
    const bool bounded = !record_.low_mm.empty();
    out = depth(out, bounded ? record_.low_mm[index] : kNaN);
    out = depth(out, bounded ? record_.high_mm[index] : kNaN);
    out = depth(out, bounded ? record_.standard_error_mm[index] : kNaN);
    *out++ = '\n';
    return out;
  }

  // What the gauge said, be it refused.
  float said(std::size_t gauge, std::size_t step) const {
    const float observed = record_.observed.depth_mm(gauge, step);
    if (record_.refused.empty() || record_.observed.is_measured(gauge, step)) return observed;
    const auto at = std::make_pair(gauge, step);
    const auto found = std::ranges::lower_bound(record_.refused, at, {}, [](const RefusedDepth& r) {
      return std::make_pair(r.gauge, r.step);
    });
    const bool is_there =
        found != record_.refused.end() && found->gauge == gauge && found->step == step;
    return is_there ? found->depth_mm : observed;
  }

  static char* copy(char* out, std::string_view text) {
    return std::copy(text.begin(), text.end(), out);
  }
  static char* depth(char* out, float depth_mm) {
    *out++ = ',';
    return write_fixed(out, static_cast<double>(depth_mm), kDepthDecimals);
  }

  const SeriesRecord& record_;
  bool wide_;
  std::vector<std::string> ids_;
  std::size_t longest_id_ = 0;
};

}  // namespace

void write_rain(AtomicFile& file, const SeriesRecord& record, const Network& network,
                const RainWriteOptions& options) {
  GAUGELOOM_ASSERT(record.observed.gauge_count() == network.size());
  const RainFormatter formatter(record, network, options.wide);
  const auto packed = [&](std::string text) {
    return options.gzip ? gzip_member(text) : std::move(text);
  };
  const BulkAcross across;  // rows of one time, from rows of one gauge
  file.write(packed(formatter.header()));
  const std::size_t steps = record.depth.step_count();
  const std::size_t steps_per_block =
      std::max<std::size_t>(1, kCellsPerBlock / std::max<std::size_t>(1, network.size()));
  const std::size_t blocks = (steps + steps_per_block - 1) / steps_per_block;
  const auto at_once = static_cast<std::size_t>(thread_count(options.threads)) * 4;
  for (std::size_t begun = 0; begun < blocks; begun += at_once) {
    std::vector<std::string> texts(std::min(at_once, blocks - begun));
    parallel_for(texts.size(), options.threads, [&](std::size_t i) {
      const std::size_t first = (begun + i) * steps_per_block;
      texts[i] = packed(formatter.rows(first, std::min(steps, first + steps_per_block)));
    });
    for (const std::string& text : texts) file.write(text);
  }
  file.finish();
}

}  // namespace gaugeloom
