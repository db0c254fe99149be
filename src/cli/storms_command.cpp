#include <utility>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "storm_job.hpp"

namespace gaugeloom {
namespace {

class StormsCommand : public Command {
 public:
  StormsCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    storms_.declare(options_);
    check_.declare(options_);
    fill_.declare_filling(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Parts the record into storms by a dry gap over the network, and gives for each storm "
            "the total of every gauge with its bounds, when and how hard it rained there, and "
            "which way the rain went; with --areas also the mean over each catchment, per step and "
            "per storm. The record is checked and filled first, unless it is a rain.csv that fill "
            "wrote: its estimates are then taken as they stand.\n\n"
            "A storm is called by its begin in UTC, like 20230605T0200Z, and keeps that name as "
            "the record grows.",
            {{"storms.csv", "One row per storm: time, depth, peak intensities, centre, motion."},
             {"storm_gauges.csv",
              "Per storm and gauge: total, bounds, errors, quality, begin and end, peaks."},
             {"storm_track.csv", "Per storm and hour: mean depth and where its centre was."},
             {"depth_area_duration.csv",
              "Per storm, duration and area: the largest mean depth over so much of the network."},
             {"storm_areas.csv",
              "With --areas, per storm and area: mean, bounds, error, largest depth, support."},
             {"areas.csv", "With --areas, per step and area: mean, bounds, supported share."},
             {"storms.gpkg", "GeoPackage with styles: gauges, isohyets and areas of every storm."},
             {"run.json", "Version, settings, hashes of the inputs, what was learned."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom storms --gauges gauges.csv --rain filled/rain.csv --out storms",
             "gaugeloom storms --config network.toml --areas catchments.geojson",
             "gaugeloom storms --config network.toml --dry-gap 12h --min-storm-mm 5"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    for (const std::string& name : storms_.files()) folder.refuse_input(name);
    RunRecord record = begin_run_record("storms", options_, folder.inputs());
    std::vector<Area> areas;
    const FillWork work =
        gap_free_series(network_, rain_, check_, fill_, threads_, record, io,
                        [&](const Network& network) { areas = storms_.areas.read(network, io); });
    const Network& network = work.loaded.network;
    const StormWork storms =
        add_storm_files(folder, network, work.filled, storms_, std::move(areas), record, threads_);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_fill(work, fill_.fill.replace, io);
    print_storms(storms, network, io);
    return exit_for(work.checked, check_.fail_on_findings);
  }

 protected:
  void settle() override {
    check_.settle();
    storms_.settle();
    fill_.settle();
  }

 private:
  NetworkInput network_;
  RainInput rain_;
  CheckInput check_;
  FillInput fill_;
  StormInput storms_;
};

}  // namespace

std::unique_ptr<Command> make_storms() { return std::make_unique<StormsCommand>(); }

}  // namespace gaugeloom
