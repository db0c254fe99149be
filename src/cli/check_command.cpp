#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

class CheckCommand : public Command {
 public:
  CheckCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    check_.declare(options_);
    check_.review.declare_last_run(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Reads the depths of a network and holds every gauge against what its neighbours lead "
            "one to expect. Episodes that do not fit become findings, each with its period, what "
            "was read and expected, the neighbours it was held against, a reason and the best "
            "innocent explanation. Every step of every gauge gets a quality: good (tested and "
            "clean), unchecked (not testable), suspect (under a provisional finding), poor (under "
            "a confirmed one) or missing.\n\n"
            "Nothing is changed: the depths written are the depths read.",
            {{"findings.csv", "One row per episode."},
             {"rain.csv", "Every step of every gauge, with its quality; not filled."},
             {"gauges.csv", "One row per gauge: totals, shares, findings, visit order."},
             {"visits.csv", "Which gauge to visit first, why, and what to look at there."},
             {"double_mass.csv", "Rain of every gauge summed up against that of its neighbours."},
             {"consistency.csv",
              "Every storm and month of every gauge beside what a healthy gauge would have read."},
             {"decisions_replayed.csv", "With --decisions: what became of each of them, and why."},
             {"changes.csv", "With --last-run: what is new among the findings."},
             {"run.json", "Version, settings, hashes of the inputs, what was learned."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom check --gauges gauges.csv --rain rain.csv --out checked",
             "gaugeloom check --config network.toml --fail-on-findings"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    for (const char* name : {"findings.csv", "rain.csv", "gauges.csv", "visits.csv",
                             "double_mass.csv", "consistency.csv", "run.json"})
      folder.refuse_input(name);
    for (const std::string& name : review_files()) folder.refuse_input(name);
    RunRecord record = begin_run_record("check", options_, folder.inputs());
    LoadedRecord loaded = load_record(network_, rain_, threads_, io);
    forget_estimates(loaded, io);
    add_side_tables(loaded, check_, network_.strict, io);
    const Checked checked = check_record(loaded, check_, threads_, record, io);
    const SeriesRecord series = checked_record(loaded.rain, checked.quality);
    RainWriteOptions write;
    write.threads = threads_;
    write_rain(folder.file("rain.csv"), series, loaded.network, write);
    add_check_files(folder, loaded, checked, series);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_record(loaded, io);
    print_findings(loaded, checked, io);
    return exit_for(checked, check_.fail_on_findings);
  }

 protected:
  void settle() override { check_.settle(); }

 private:
  NetworkInput network_;
  RainInput rain_;
  CheckInput check_;
};

}  // namespace

std::unique_ptr<Command> make_check() { return std::make_unique<CheckCommand>(); }

}  // namespace gaugeloom
