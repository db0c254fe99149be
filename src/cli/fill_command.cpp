#include <utility>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

class FillCommand : public Command {
 public:
  FillCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    check_.declare(options_);
    check_.review.declare_last_run(options_);
    fill_.declare(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Makes gap-free series with bounds. The record is checked first, unless its column "
            "quality holds our own words already. Depths under a confirmed finding and missing "
            "steps are then estimated: from a measured total over the gap where there is one, else "
            "from the neighbours, by the method that does best on this very network when every "
            "gauge is left out in turn. Every estimate has a 90 % band and a standard error that "
            "were learned the same way. Where there is no ground for an estimate the step stays "
            "missing, and the summary says why.\n\n"
            "What a gauge said always stands in the column observed_mm. Depths that an earlier run "
            "estimated are not taken for measurements.",
            {{"rain.csv",
              "Every step of every gauge: depth, quality, origin, bounds, error. "
              "rain.csv.gz with --gzip."},
             {"totals.csv", "Per gauge and day, month and year: total, bounds, shares."},
             {"fill_gauges.csv", "Per gauge: shares filled, expected error, the longest gap."},
             {"members.csv",
              "With --members: draws of what was estimated, a column each. Or members.nc."},
             {"findings.csv", "One row per episode; not written when the input was checked."},
             {"gauges.csv", "One row per gauge: totals, shares, findings, visit order."},
             {"visits.csv", "Which gauge to visit first; not written when the input was checked."},
             {"double_mass.csv", "The double-mass curves; not written then either."},
             {"consistency.csv",
              "Storms and months beside what a healthy gauge would have read; not written then "
              "either."},
             {"decisions_replayed.csv", "With --decisions: what became of each of them, and why."},
             {"changes.csv", "With --last-run: what is new among the findings."},
             {"run.json", "Version, settings, hashes of the inputs, what was learned."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom fill --gauges gauges.csv --rain rain.csv --out filled",
             "gaugeloom fill --config network.toml --replace provisional --wide"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    RunRecord record = begin_run_record("fill", options_, folder.inputs());
    refuse_fill_inputs(folder, fill_);
    LoadedRecord loaded = load_record(network_, rain_, threads_, io);
    forget_estimates(loaded, io);
    add_side_tables(loaded, check_, network_.strict, io);
    Checked checked = check_or_trust(loaded, rain_, check_, threads_, record, io);
    const FillWork work = fill_checked(std::move(loaded), std::move(checked), fill_,
                                       rain_.day_start, threads_, folder, record);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_fill(work, fill_.fill.replace, io);
    return exit_for(work.checked, check_.fail_on_findings);
  }

 protected:
  void settle() override {
    check_.settle();
    fill_.settle();
  }

 private:
  NetworkInput network_;
  RainInput rain_;
  CheckInput check_;
  FillInput fill_;
};

}  // namespace

std::unique_ptr<Command> make_fill() { return std::make_unique<FillCommand>(); }

}  // namespace gaugeloom
