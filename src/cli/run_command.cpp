#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

class RunCommand : public Command {
 public:
  RunCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    check_.declare(options_);
    fill_.declare(options_);
  }

  Manual manual() const override {
    return {"--config FILE.toml [options]",
            "Does the whole job in order, with one configuration and one output folder: checks the "
            "record, fills what is missing or condemned.",
            {{"findings.csv", "One row per episode."},
             {"rain.csv", "Every step of every gauge: depth, quality, origin, bounds, error."},
             {"totals.csv", "Per gauge and day, month and year: total, bounds, shares."},
             {"gauges.csv", "One row per gauge: totals, shares, findings, visit order."},
             {"run.json", "Version, settings, hashes of the inputs, what was learned."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom run --config network.toml --out today"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    RunRecord record = begin_run_record("run", options_, folder.inputs());
    const FillWork work =
        fill_network(network_, rain_, check_, fill_, threads_, folder, record, io);
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

std::unique_ptr<Command> make_run() { return std::make_unique<RunCommand>(); }

}  // namespace gaugeloom
