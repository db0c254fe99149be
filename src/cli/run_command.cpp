#include <optional>
#include <utility>

#include <fmt/format.h>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "job.hpp"
#include "map_job.hpp"
#include "rehearsal_job.hpp"
#include "report_job.hpp"
#include "storm_job.hpp"
#include "tip_job.hpp"

namespace gaugeloom {
namespace {

class RunCommand : public Command {
 public:
  RunCommand() {
    network_.declare(options_);
    rain_.declare(options_, false);
    tips_.declare_files(options_);
    correction_.declare_judging(options_);
    correction_.declare_correction(options_);
    storms_.declare(options_);
    check_.declare(options_);
    check_.review.declare_last_run(options_);
    fill_.declare(options_);
    options_.heading("Maps");
    options_.text("storm", "wettest|ID|all", storm_,
                  "Which storms are mapped; with all, each as storm_ID.tif.");
    map_.declare(options_);
    page_.declare(options_);
  }

  Manual manual() const override {
    return {
        "--config FILE.toml [options]",
        "Does the whole job in order, with one configuration and one output folder: corrects the "
        "gauges that come as raw tips and joins them to those that come as depths, checks the "
        "record, fills what is missing or condemned, parts the filled series into storms with the "
        "rain of every gauge and catchment, and maps the total of the wettest one, or of "
        "all of them. One page for people, report.html, tells all of it.",
        {{"findings.csv", "One row per episode."},
         {"rain.csv", "Every step of every gauge: depth, quality, origin, bounds, error."},
         {"totals.csv", "Per gauge and day, month and year: total, bounds, shares."},
         {"fill_gauges.csv", "Per gauge: shares filled, expected error, the longest gap."},
         {"members.csv",
          "With --members: draws of what was estimated, a column each. Or members.nc."},
         {"gauges.csv", "One row per gauge: totals, shares, findings, visit order."},
         {"visits.csv", "Which gauge to visit first, why, and what to look at there."},
         {"double_mass.csv", "Rain of every gauge summed up against that of its neighbours."},
         {"consistency.csv",
          "Every storm and month of every gauge beside what a healthy gauge would have read."},
         {"storms.csv", "One row per storm: time, depth, peak intensities, centre, motion."},
         {"storm_gauges.csv", "Per storm and gauge: total, bounds, errors, quality, peaks."},
         {"storm_track.csv", "Per storm and hour: mean depth and where its centre was."},
         {"depth_area_duration.csv", "Per storm, duration and area: the largest mean depth."},
         {"storm_areas.csv", "With --areas, per storm and area: mean, bounds, error, support."},
         {"areas.csv", "With --areas, per step and area: mean, bounds, supported share."},
         {"storms.gpkg", "GeoPackage with styles: gauges, isohyets and areas of every storm."},
         {"tips.csv", "With --tips: every tip, its fate, its depth before and after."},
         {"tip_months.csv", "With --tips: per gauge and month the tips and what they make."},
         {"tip_storms.csv", "With --tips: per gauge and storm the most in any 5 to 60 min."},
         {"counters.csv", "With two counters of a bucket: how they match, which was believed."},
         {"pours.csv", "With --tips and --visits: per pour the true depth of a tip."},
         {"map.tif", "The wettest storm: total, error, bounds, distance, support."},
         {"map.png", "With --png: its total as a picture."},
         {"decisions_replayed.csv", "With --decisions: what became of each of them, and why."},
         {"changes.csv", "With --last-run: what is new among the findings."},
         {"rehearsal.csv", "With --rehearse: what the checks make of planted faults, by kind."},
         {"rehearsal_gauges.csv", "With --rehearse: full blocks found at each gauge."},
         {"rehearsal_fill.csv", "With --rehearse: the error of filled gaps by duration."},
         {"report.html", "The page for people: all of it in one file, for any browser."},
         {"run.json", "Version, settings, hashes of the inputs, what was learned."},
         {"run_log.json", "Wall clock and machine."}},
        {"gaugeloom run --config network.toml --out today",
         "gaugeloom run --gauges gauges.csv --tips tips --visits visits.csv --out today"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, inputs());
    refuse_map_inputs(folder, storm_);
    folder.refuse_input("report.html");
    if (page_.rehearse)
      for (const char* name : kRehearsalFiles) folder.refuse_input(name);
    for (const std::string& name : storms_.files()) folder.refuse_input(name);
    refuse_fill_inputs(folder, fill_);
    if (has_tips())
      for (const std::string& name : job().outputs()) folder.refuse_input(name);
    RunRecord record = begin_run_record("run", options_, folder.inputs());
    const bool beside_tips = has_tips() && !rain_.rain.empty();
    std::vector<Area> areas;
    const auto read_early = [&](const Network& network) {
      areas = storms_.areas.read(network, io);
      MapGround(map_, network);
    };
    LoadedRecord loaded = read_record(network_, rain_, threads_, io, read_early, beside_tips);
    forget_estimates(loaded, io);
    add_side_tables(loaded, check_, network_.strict, io, has_tips());
    std::optional<CorrectedNetwork> corrected;
    if (has_tips()) corrected = add_tips(loaded, job(), folder, io);
    settle_histories(loaded, io);
    // Tips were never tested, whatever is said of the depths.
    Checked checked = corrected ? check_record(loaded, check_, threads_, record, io)
                                : check_or_trust(loaded, rain_, check_, threads_, record, io);
    const FillWork work = fill_checked(std::move(loaded), std::move(checked), fill_,
                                       rain_.day_start, threads_, folder, record);
    const Network& network = work.loaded.network;
    const StormWork storms =
        add_storm_files(folder, network, work.filled, storms_, std::move(areas), record, threads_);
    if (corrected) print_corrected(*corrected, work.loaded.rain.depths.axis(), io);
    print_fill(work, fill_.fill.replace, io);
    print_storms(storms, network, io);
    MapJob maps(map_, network, work.filled.record, work.filled.errors, storms.list, threads_);
    add_maps(maps, storms, folder, record.version, io);
    std::optional<Rehearsal> rehearsal;
    if (page_.rehearse) rehearsal = rehearsed(work.loaded, folder, record, io);
    record.digests = input_digests(record.inputs);
    add_report(folder, page_, work, storms, storm_pictures(maps, storms, io),
               rehearsal ? &*rehearsal : nullptr, check_.check, record, rain_.day_start);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    return exit_for(work.checked, check_.fail_on_findings);
  }

 protected:
  void settle() override {
    check_.settle();
    check_.check.keep_evidence = true;  // for the page
    fill_.settle();
    storms_.settle();
    map_.settle(network_);
    if (rain_.rain.empty() && !has_tips())
      throw Error(ErrorCode::invalid_option,
                  "--rain or --tips is needed: depths per step, or raw tips");
    correction_.settle(check_.visits);
  }

 private:
  bool has_tips() const { return !tips_.tips.empty(); }

  TipJob job() const {
    TipInput tips = tips_;
    tips.utc_offset = rain_.utc_offset;
    tips.time_zone = rain_.time_zone;
    tips.step = rain_.step.value_or(tips.step);
    tips.day_start = rain_.day_start;
    return {tips,       correction_, check_.visits, check_.outages, network_.strict,
            fill_.gzip, true,        threads_};
  }

  std::vector<std::string> inputs() const {
    std::vector<std::string> files = input_files(options_, network_, rain_);
    for (std::string& file : rain_files(tips_.tips)) files.push_back(std::move(file));
    return files;
  }

  Rehearsal rehearsed(const LoadedRecord& loaded, OutputFolder& folder, RunRecord& record,
                      Streams io) const {
    RehearsalOptions options;
    options.check = check_.check;
    options.check.keep_evidence = false;
    Rehearsal rehearsal = add_rehearsal(folder, loaded, options, threads_, record);
    const FalseCalls calls = false_calls(rehearsal);
    io.out << fmt::format(
        "rehearsal: {} faults planted; {} calls on the record as it was read, in {:.1f} "
        "gauge-years; see rehearsal.csv\n",
        rehearsal.outcomes.size(), calls.any, calls.gauge_years);
    return rehearsal;
  }

  void add_maps(MapJob& job, const StormWork& storms, OutputFolder& folder,
                const std::string& version, Streams io) const {
    if (storms.list.storms.empty()) return;
    if (storm_ == "wettest") {
      job.add(folder, wettest(storms, io), version, false, io);
      return;
    }
    if (storm_ == "all") io.out << "maps of storms:\n";
    for (const MapSubject& subject : storm_subjects(storms.list, storm_))
      job.add(folder, subject, version, storm_ == "all", io);
  }

  static MapSubject wettest(const StormWork& storms, Streams io) {
    const std::size_t best = wettest_storm(storms.overviews).value_or(0);
    const Storm& storm = storms.list.storms[best];
    io.out << fmt::format("map: the wettest storm, {} to {}, {:.1f} mm on average\n",
                          format_utc(storm.over.from), format_utc(storm.over.to),
                          storms.overviews[best].mean_mm);
    return {"map", storm, true};
  }

  NetworkInput network_;
  RainInput rain_;
  TipInput tips_;
  CorrectionInput correction_;
  CheckInput check_;
  FillInput fill_;
  StormInput storms_;
  std::string storm_ = "wettest";
  MapInput map_;
  PageInput page_;
};

}  // namespace

std::unique_ptr<Command> make_run() { return std::make_unique<RunCommand>(); }

}  // namespace gaugeloom
