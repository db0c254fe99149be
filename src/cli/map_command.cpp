#include <fmt/format.h>

#include "commands.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "job.hpp"
#include "map_job.hpp"
#include "storm_job.hpp"

namespace gaugeloom {
namespace {

class MapCommand : public Command {
 public:
  MapCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    options_.heading("Window");
    declare_instant(options_, "from", from_, "Begin of the window; default the record's begin.");
    declare_instant(options_, "to", to_, "End of the window; default the record's end.");
    options_.text("storm", "ID|all", storm_,
                  "A storm of the record by its id, or all of them, a map each; --from and --to "
                  "are then passed over.");
    storms_.declare_storms(options_);
    map_.declare(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Adds up the rain of every gauge over a window or a storm and spreads the totals over "
            "a grid by ordinary kriging from the nearest gauges, each with its own error: that of "
            "the instrument, and, where steps were filled, that of the estimate; or by inverse "
            "distance. A gauge with a missing step in the window has no total and is left out.\n\n"
            "Where the gauges carry no information the map is empty: it says where it does not "
            "know.",
            {{"map.tif",
              "Cloud-optimised GeoTIFF, float32, nodata -9999, a band for each of "
              "total, error, low, high, distance, support. With --storm all: storm_ID.tif."},
             {"map_frames.tif", "With --frames: the total up to each hour, a band each."},
             {"map.png", "With --png: the totals as a picture."}},
            {"gaugeloom map --gauges gauges.csv --rain rain.csv --from 2021-03-04T06:00Z --to "
             "2021-03-05T18:00Z",
             "gaugeloom map --config network.toml --cell-m 500 --bands total,error",
             "gaugeloom map --gauges gauges.csv --rain filled/rain.csv --storm all --png"}};
  }

  Exit run(Streams io) override {
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    refuse_map_inputs(folder, storm_);
    RunRecord record = begin_run_record("map", options_, {});
    const FillWork work = series_as_read(network_, rain_, threads_, record, io,
                                         [&](const Network& network) { MapGround(map_, network); });
    const SeriesRecord& series = work.filled.record;
    const StormList storms = find_storms(series, storms_.storms);
    MapJob job(map_, work.loaded.network, series, work.filled.errors, storms, threads_);
    const std::vector<MapSubject> subjects = this->subjects(storms, series.depth.axis());
    if (storm_ == "all") io.out << fmt::format("storms: {}\n", subjects.size());
    for (const MapSubject& subject : subjects)
      job.add(folder, subject, record.version, storm_ == "all", io);
    folder.commit();
    return Exit::ok;
  }

 protected:
  void settle() override {
    if (from_ && to_ && !(*from_ < *to_))
      throw Error(ErrorCode::invalid_option, "--from must lie before --to");
    storms_.settle();
    map_.settle(network_);
  }

 private:
  std::vector<MapSubject> subjects(const StormList& storms, const StepAxis& axis) const {
    if (!storm_.empty()) return storm_subjects(storms, storm_);
    const Interval span = axis.span();
    const Interval wish{from_.value_or(span.from), to_.value_or(span.to)};
    const auto steps = axis.within(wish);
    if (steps.first >= steps.last)
      throw Error(
          ErrorCode::invalid_option,
          fmt::format("no step of the record lies within {} to {}; the record runs from {} to {}",
                      format_utc(wish.from), format_utc(wish.to), format_utc(span.from),
                      format_utc(span.to)));
    return {window_subject({axis.begin(steps.first), axis.end(steps.last - 1)}, steps)};
  }

  NetworkInput network_;
  RainInput rain_;
  std::optional<Instant> from_, to_;
  std::string storm_;
  StormInput storms_;
  MapInput map_;
};

}  // namespace

std::unique_ptr<Command> make_map() { return std::make_unique<MapCommand>(); }

}  // namespace gaugeloom
