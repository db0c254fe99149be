#include "gaugeloom/io/rain_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <new>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/block_turns_internal.hpp"
#include "io/byte_source_internal.hpp"
#include "io/rain_assembly_internal.hpp"
#include "io/rain_rows_internal.hpp"
#include "io/rain_staging_internal.hpp"
#include "io/row_clock_internal.hpp"
#include "io/unknown_rows_internal.hpp"

namespace gaugeloom {
namespace {

// What the threads that read one file share.
struct RainFile {
  const std::string& name;
  RainLayout layout;
  RainStaging& staging;
  UnknownRows& unknown;
  long lines = 1;  // before the block whose turn it is
};

class RainWorker : public BlockWorker {
 public:
  RainWorker(RainFile& file, const GaugeIds& ids, const RainReadOptions& options,
             const TimeZone* zone)
      : file_(file), rows_(file.layout, ids, options, zone) {}

  void parse(const LineBlock& block) override { rows_.parse(block.text, parsed_); }

  void place(const LineBlock& block) override {
    if (const auto problem = file_.staging.place(parsed_, file_.lines)) {
      ParsedRain again;
      rows_.parse(block.text, again, problem->entry + 1);
      const int time_column = file_.layout.time == 0 ? 1 : 0;
      throw Error(problem->code, problem->sentence,
                  {file_.name, file_.lines + again.lines,
                   problem->about_time ? time_column : again.last_column});
    }
    if (parsed_.problem)
      throw Error(parsed_.problem->code, parsed_.problem->sentence,
                  {file_.name, file_.lines + parsed_.problem->line, parsed_.problem->column});
    for (const auto& [id, count] : parsed_.unknown) file_.unknown.add(id, count);
    file_.lines += parsed_.lines;
  }

 private:
  RainFile& file_;
  RainRows rows_;
  ParsedRain parsed_;
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
    BlockTurns turns(source, name, "a rain file");
    RainFile file{name, read_rain_layout(turns.header(), name, ids_, options_), staging_, unknown_};
    if (options_.strict && !file.layout.unknown.empty())
      throw Error(ErrorCode::inconsistent_input,
                  "gauge '" + file.layout.unknown.front() +
                      "' is not in the gauge list; add it there, or leave out --strict",
                  {name, 1, 0});
    staging_.begin_file();
    turns.run(options_.threads, file.lines, [&] {
      return std::make_unique<RainWorker>(file, ids_, options_, zone_ ? &*zone_ : nullptr);
    });
    for (const std::string& id : file.layout.unknown) unknown_.add(id, file.lines - 1);
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
      notices.emplace_back(kBareTimesNotice);
    if (staging_.duplicates() > 0)
      notices.push_back(fmt::format("{} repeated rows with the same value were taken once",
                                    staging_.duplicates()));
    unknown_.tell(notices);
  }

  GaugeIds ids_;
  const RainReadOptions& options_;
  RainStaging staging_;
  std::optional<TimeZone> zone_;
  std::vector<std::string> files_;
  UnknownRows unknown_;
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
