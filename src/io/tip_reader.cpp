#include "gaugeloom/io/tip_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <new>
#include <numeric>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "io/block_turns_internal.hpp"
#include "io/byte_source_internal.hpp"
#include "io/tip_rows_internal.hpp"
#include "io/unknown_rows_internal.hpp"

namespace gaugeloom {
namespace {

// Tips of all files so far, by gauge and counter.
class TipStore {
 public:
  explicit TipStore(std::size_t gauges) : gauges_(gauges) {}

  void add(const ParsedTips& parsed, const std::string& file, long lines) {
    refuse_mixed(parsed, file, lines);
    counters_of_block_.clear();
    for (const std::string& name : parsed.counters) counters_of_block_.push_back(counter(name));
    for (const TipRow& row : parsed.rows)
      train(gauges_[row.gauge], counters_of_block_[row.counter]).push_back(row.time);
    for (const auto& [id, rows] : parsed.unknown) unknown_.add(id, rows);
  }

  // Counters by name, trains by counter.
  TipRecord finish() {
    std::vector<std::size_t> order(counters_.size());
    std::iota(order.begin(), order.end(), 0);
    std::ranges::sort(order, {}, [&](std::size_t i) { return counters_[i]; });
    TipRecord record;
    for (const std::size_t i : order) record.counters.push_back(counters_[i]);
    for (Trains& trains : gauges_) {
      record.gauges.emplace_back();
      for (std::size_t rank = 0; rank < order.size(); ++rank)
        if (order[rank] < trains.size() && !trains[order[rank]].empty())
          record.gauges.back().trains.push_back(
              {static_cast<std::uint8_t>(rank), std::move(trains[order[rank]])});
    }
    return record;
  }

  bool saw_bare() const { return bare_; }
  const UnknownRows& unknown() const { return unknown_; }

 private:
  using Trains = std::vector<std::vector<Instant>>;  // by counter

  static std::vector<Instant>& train(Trains& trains, std::size_t counter) {
    if (trains.size() <= counter) trains.resize(counter + 1);
    return trains[counter];
  }

  std::size_t counter(const std::string& name) {
    const auto found = std::ranges::find(counters_, name);
    if (found != counters_.end()) return static_cast<std::size_t>(found - counters_.begin());
    if (counters_.size() == kMostCounters)
      throw Error(ErrorCode::malformed_input,
                  fmt::format("counter '{}' is one more than {}; a bucket has one or two: name in "
                              "this column which of them it was",
                              name, kMostCounters));
    counters_.push_back(name);
    return counters_.size() - 1;
  }

  void refuse_mixed(const ParsedTips& parsed, const std::string& file, long lines) {
    const bool bare = bare_ || parsed.bare_line > 0;
    const bool offset = offset_ || parsed.offset_line > 0;
    if (bare && offset)
      throw Error(ErrorCode::inconsistent_input,
                  "times with an offset and times without one are mixed; write all the same way",
                  {file,
                   lines + (bare_     ? parsed.offset_line
                            : offset_ ? parsed.bare_line
                                      : std::max(parsed.offset_line, parsed.bare_line)),
                   0});
    bare_ = bare;
    offset_ = offset;
  }

  std::vector<Trains> gauges_;
  std::vector<std::string> counters_;
  std::vector<std::size_t> counters_of_block_;
  UnknownRows unknown_;
  bool bare_ = false;    // a time without an offset was seen
  bool offset_ = false;  // a time with one was seen
};

class TipWorker : public BlockWorker {
 public:
  TipWorker(TipStore& store, const std::string& file, long& lines, const TipLayout& layout,
            const GaugeIds& ids, bool strict, const RowClock& clock)
      : store_(store), file_(file), lines_(lines), rows_(layout, ids, strict, clock) {}

  void parse(const LineBlock& block) override { rows_.parse(block.text, parsed_); }

  void place(const LineBlock& /*block*/) override {
    store_.add(parsed_, file_, lines_);
    if (const auto& problem = parsed_.problem)
      throw Error(problem->code, problem->sentence,
                  {file_, lines_ + problem->line, problem->column});
    lines_ += parsed_.lines;
  }

 private:
  TipStore& store_;
  const std::string& file_;
  long& lines_;
  TipRows rows_;
  ParsedTips parsed_;
};

class TipJob {
 public:
  TipJob(const Network& network, const TipReadOptions& options)
      : ids_(network), options_(options), store_(network.size()) {
    if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
    if (options.time_zone) zone_.emplace(*options.time_zone);
  }

  void add(ByteSource& source, const std::string& file) {
    files_.push_back(file);
    BlockTurns turns(source, file, "a tip file");
    const TipLayout layout = read_tip_layout(turns.header(), file);
    const RowClock clock(options_.utc_offset, zone_ ? &*zone_ : nullptr);
    long lines = 1;
    turns.run(options_.threads, lines, [&] {
      return std::make_unique<TipWorker>(store_, file, lines, layout, ids_, options_.strict, clock);
    });
  }

  TipRecord finish(Notices& notices) {
    if (store_.saw_bare() && !options_.utc_offset && !options_.time_zone)
      notices.emplace_back(kBareTimesNotice);
    store_.unknown().tell(notices);
    TipRecord record = store_.finish();
    if (std::ranges::all_of(record.gauges, [](const GaugeTips& g) { return g.trains.empty(); }))
      throw Error(ErrorCode::malformed_input,
                  "holds no tip of a gauge in the list; check the files and the gauge ids",
                  {files_.size() == 1 ? files_.front() : fmt::format("{} files", files_.size())});
    return record;
  }

 private:
  GaugeIds ids_;
  const TipReadOptions& options_;
  TipStore store_;
  std::optional<TimeZone> zone_;
  std::vector<std::string> files_;
};

[[noreturn]] void out_of_memory() {
  throw Error(ErrorCode::io_failure,
              "the tips do not fit into memory; read fewer files or fewer gauges at once");
}

}  // namespace

std::optional<std::string> TipReadOptions::problem() const {
  if (utc_offset && time_zone) return "give --utc-offset or --time-zone, not both";
  if (threads < 0) return "--threads must be 0 or more";
  return std::nullopt;
}

TipRecord read_tips(std::span<const std::string> paths, const Network& network,
                    const TipReadOptions& options, Notices& notices) {
  try {
    TipJob job(network, options);
    for (const std::string& file : rain_files(paths)) job.add(*open_file(file), file);
    return job.finish(notices);
  } catch (const std::bad_alloc&) {
    out_of_memory();
  }
}

TipRecord parse_tips(std::string_view text, const std::string& name, const Network& network,
                     const TipReadOptions& options, Notices& notices) {
  try {
    TipJob job(network, options);
    job.add(*open_text(text, name), name);
    return job.finish(notices);
  } catch (const std::bad_alloc&) {
    out_of_memory();
  }
}

}  // namespace gaugeloom
