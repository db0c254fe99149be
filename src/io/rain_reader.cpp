#include "gaugeloom/io/rain_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <condition_variable>
#include <mutex>
#include <new>
#include <thread>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/byte_source_internal.hpp"
#include "io/line_blocks_internal.hpp"
#include "io/rain_assembly_internal.hpp"
#include "io/rain_rows_internal.hpp"
#include "io/rain_staging_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMostUnknown = 100'000;  // ids remembered to be counted

// Takes the blocks of one file through parsing, in parallel, to placing, in order.
class RainFile {
 public:
  RainFile(ByteSource& source, const std::string& name, const GaugeIds& ids,
           const RainReadOptions& options, const TimeZone* zone, RainStaging& staging,
           std::map<std::string, long, std::less<>>& unknown)
      : blocks_(source),
        name_(name),
        ids_(ids),
        options_(options),
        zone_(zone),
        staging_(staging),
        unknown_(unknown) {}

  void read() {
    LineBlock first;
    if (!blocks_.next(first)) malformed("is empty; a rain file begins with a header", 0);
    if (first.failure) std::rethrow_exception(first.failure);
    if (first.too_long) malformed("this line is longer than 16 MiB; use the long layout", 1);
    take_header(first);
    staging_.begin_file();
    std::vector<std::jthread> team;
    if (!blocks_.ended())
      for (int i = 1; i < thread_count(options_.threads); ++i)
        team.emplace_back([this] { work(LineBlock{}, false); });
    work(std::move(first), true);
    team.clear();
    if (failure_) std::rethrow_exception(failure_);
    add_unknown_columns();
  }

 private:
  [[noreturn]] void malformed(const std::string& sentence, long line) const {
    throw Error(ErrorCode::malformed_input, sentence, {name_, line, 0});
  }

  void take_header(LineBlock& first) {
    constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
    std::string_view header = first.text.substr(0, first.text.find('\n'));
    first.text.remove_prefix(header.size() + 1);
    if (header.starts_with(kByteOrderMark)) header.remove_prefix(kByteOrderMark.size());
    layout_ = read_rain_layout(header, name_, ids_, options_);
    if (options_.strict && !layout_.unknown.empty())
      throw Error(ErrorCode::inconsistent_input,
                  "gauge '" + layout_.unknown.front() +
                      "' is not in the gauge list; add it there, or leave out --strict",
                  {name_, 1, 0});
    lines_ = 1;
  }

  // What one thread does: `block` first, if it holds one.
  void work(LineBlock block, bool filled) {
    RainRows rows(layout_, ids_, options_, zone_);
    ParsedRain parsed;
    while (filled || blocks_.next(block)) {
      filled = false;
      std::exception_ptr failure = block.failure;
      try {
        if (!failure) rows.parse(block.text, parsed);
      } catch (...) {
        failure = std::current_exception();
      }
      if (!take_turn(block, parsed, failure, rows)) return;
    }
  }

  // Waits for the blocks before, then places this one. False when one of them or this failed.
  bool take_turn(const LineBlock& block, const ParsedRain& parsed, std::exception_ptr failure,
                 RainRows& rows) {
    std::unique_lock lock(mutex_);
    turn_.wait(lock, [&] { return next_ == block.index || failure_; });
    if (failure_) return false;
    lock.unlock();  // nobody else's turn now
    try {
      if (failure) std::rethrow_exception(failure);
      if (block.too_long) malformed("this line is longer than 16 MiB; split it", lines_ + 1);
      place(block, parsed, rows);
    } catch (const Error& error) {
      failure = error.pos().file.empty() ? with_file(error) : std::current_exception();
    } catch (...) {
      failure = std::current_exception();
    }
    lock.lock();
    failure_ = failure;
    ++next_;
    turn_.notify_all();
    return !failure_;
  }

  std::exception_ptr with_file(const Error& error) const {
    return std::make_exception_ptr(
        Error(error.code(), error.what(), {name_, error.pos().line, error.pos().column}));
  }

  void place(const LineBlock& block, const ParsedRain& parsed, RainRows& rows) {
    if (const auto problem = staging_.place(parsed, lines_)) {
      ParsedRain again;
      rows.parse(block.text, again, problem->entry + 1);
      const int time_column = layout_.time == 0 ? 1 : 0;
      throw Error(
          problem->code, problem->sentence,
          {name_, lines_ + again.lines, problem->about_time ? time_column : again.last_column});
    }
    if (parsed.problem)
      throw Error(parsed.problem->code, parsed.problem->sentence,
                  {name_, lines_ + parsed.problem->line, parsed.problem->column});
    for (const auto& [id, count] : parsed.unknown) count_unknown(id, count);
    lines_ += parsed.lines;
  }

  void count_unknown(const std::string& id, long rows) {
    if (unknown_.size() < kMostUnknown || unknown_.contains(id))
      unknown_[id] += rows;
    else
      unknown_[""] += rows;
  }

  void add_unknown_columns() {
    for (const std::string& id : layout_.unknown) count_unknown(id, lines_ - 1);
  }

  LineBlocks blocks_;
  const std::string& name_;
  const GaugeIds& ids_;
  const RainReadOptions& options_;
  const TimeZone* zone_;
  RainStaging& staging_;
  std::map<std::string, long, std::less<>>& unknown_;
  RainLayout layout_;
  std::mutex mutex_;
  std::condition_variable turn_;
  std::size_t next_ = 0;
  std::exception_ptr failure_;
  long lines_ = 0;  // before the block whose turn it is
};

// Reads sources one after another into one record.
class RainJob {
 public:
  RainJob(const Network& network, const RainReadOptions& options)
      : ids_(network), options_(options), staging_(ids_, options_) {
    if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
    if (options.time_zone) zone_.emplace(*options.time_zone);
  }

  void add(ByteSource& source, const std::string& name) {
    files_.push_back(name);
    RainFile(source, name, ids_, options_, zone_ ? &*zone_ : nullptr, staging_, unknown_).read();
  }

  RainRecord finish(Notices& notices) {
    report(notices);
    if (staging_.times().empty())
      throw Error(ErrorCode::malformed_input,
                  "holds no depth of a gauge in the list; check the files and the gauge ids",
                  {files_.size() == 1 ? files_.front() : fmt::format("{} files", files_.size())});
    return assemble_rain(staging_, ids_, options_, files_, notices);
  }

 private:
  void report(Notices& notices) const {
    if (staging_.saw_bare_time() && !options_.utc_offset && !options_.time_zone)
      notices.push_back(
          "times without an offset were taken as UTC; give --utc-offset or --time-zone if they are "
          "not");
    if (staging_.duplicates() > 0)
      notices.push_back(fmt::format("{} repeated rows with the same value were taken once",
                                    staging_.duplicates()));
    if (unknown_.empty()) return;
    long rows = 0;
    for (const auto& [id, count] : unknown_) rows += count;
    const bool more = unknown_.contains("");
    notices.push_back(fmt::format(
        "{} rows of {}{} gauges that are not in the gauge list were left out (first by name: {})",
        rows, more ? "more than " : "", unknown_.size() - (more ? 1 : 0),
        more ? std::next(unknown_.begin())->first : unknown_.begin()->first));
  }

  GaugeIds ids_;
  const RainReadOptions& options_;
  RainStaging staging_;
  std::optional<TimeZone> zone_;
  std::vector<std::string> files_;
  std::map<std::string, long, std::less<>> unknown_;  // "" = beyond kMostUnknown
};

[[noreturn]] void out_of_memory() {
  throw Error(ErrorCode::io_failure,
              "the rain does not fit into memory; read fewer files or a shorter time at once");
}

}  // namespace

std::optional<std::string> RainReadOptions::problem() const {
  if (absent == AbsentRow::zero && !step)
    return "--absent zero needs --step, since absent rows do not show it";
  if (step && step->count() < 1) return "--step must be 1s or more";
  if (utc_offset && time_zone) return "give --utc-offset or --time-zone, not both";
  if (threads < 0) return "--threads must be 0 or more";
  return std::nullopt;
}

RainRecord read_rain(std::span<const std::string> paths, const Network& network,
                     const RainReadOptions& options, Notices& notices) {
  try {
    RainJob job(network, options);
    for (const std::string& file : rain_files(paths)) job.add(*open_file(file), file);
    return job.finish(notices);
  } catch (const std::bad_alloc&) {
    out_of_memory();
  }
}

RainRecord parse_rain(std::string_view text, const std::string& name, const Network& network,
                      const RainReadOptions& options, Notices& notices) {
  try {
    RainJob job(network, options);
    job.add(*open_text(text, name), name);
    return job.finish(notices);
  } catch (const std::bad_alloc&) {
    out_of_memory();
  }
}

}  // namespace gaugeloom
