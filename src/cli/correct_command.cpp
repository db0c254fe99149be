#include <utility>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "job.hpp"
#include "tip_job.hpp"

namespace gaugeloom {
namespace {

class CorrectCommand : public Command {
 public:
  CorrectCommand() {
    network_.declare(options_);
    tips_.declare(options_);
    correction_.declare_judging(options_);
    options_.path("visits", "FILE", visits_,
                  "CSV gauge,from,to,action,poured_ml,note of visits: tips during one are test "
                  "tips, no rain.");
    options_.path("outages", "FILE", outages_,
                  "CSV gauge,from,to,cause of when a counter or its link was dead: zeros there "
                  "count as missing.");
    correction_.declare_correction(options_);
    options_.heading("Output");
    options_.toggle("wide", wide_,
                    "Write rain.csv as time,<gauge>,<gauge>,...: depths only, in mm.");
    options_.toggle("gzip", gzip_,
                    "Write rain.csv.gz and tips.csv.gz in place of rain.csv and "
                    "tips.csv.");
  }

  Manual manual() const override {
    return {
        "--gauges SOURCE --tips PATH ... [options]",
        "Turns raw tips into depth per step. Bounce of the contact, repeated rows and the test "
        "tips of visits are told apart from rain; what a bucket loses while it turns is "
        "corrected by the gauge's own calibration table, else by the loss time of a tip; a "
        "gauge behind a siphon is corrected over its bursts, by a table or not at all. Then "
        "the rain between two tips is shared among the steps by time.\n\n"
        "No water is lost or made: every tip of the input stands in tips.csv with what became "
        "of it, and the depths of rain.csv add up to those of the tips that were kept.",
        {{"rain.csv",
          "Every step of every gauge: corrected depth, and as observed_mm what the tips count."},
         {"tips.csv", "Every tip of the input, its fate, its depth before and after."},
         {"tip_months.csv",
          "Per gauge and month: tips by fate, depth before and after, shares by intensity, and how "
          "well two counters match."},
         {"tip_storms.csv",
          "Per gauge and storm of 1 mm or more: depth, and the most in any 5 to 60 min."},
         {"counters.csv",
          "Of buckets with two counters: how they match, which was believed and why, how their "
          "clocks stand; of all, tips written after later ones."},
         {"pours.csv",
          "With --visits: per pour the true depth of a tip with its band, and the factor it speaks "
          "for."},
         {"run.json", "Version, settings, hashes of the inputs."},
         {"run_log.json", "Wall clock and machine."}},
        {"gaugeloom correct --gauges gauges.csv --tips tips --step 5min --out corrected",
         "gaugeloom correct --gauges gauges.csv --tips tips.csv.gz --calibration "
         "calibration.csv --visits visits.csv --out corrected"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, inputs());
    for (const std::string& name : job().outputs()) folder.refuse_input(name);
    for (const std::string& name : {name_of("rain.csv"), std::string("run.json")})
      folder.refuse_input(name);
    const RunRecord record = begin_run_record("correct", options_, folder.inputs());
    GaugeReadOptions read = network_.read_options();
    read.fewest = 1;  // each gauge is corrected by itself
    Notices notices;
    const Network network = read_gauges(network_.gauges, read, notices);
    print_notices(notices, io);
    const CorrectedNetwork corrected = correct_tips(network, job(), folder, io);
    RainWriteOptions write;
    write.gzip = gzip_;
    write.wide = wide_;
    write.threads = threads_;
    write_rain(folder.file(name_of("rain.csv")), corrected.series, network, write);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_corrected(corrected, corrected.series.depth.axis(), io);
    return Exit::ok;
  }

 protected:
  void settle() override { correction_.settle(visits_); }

 private:
  std::string name_of(const std::string& name) const { return gzip_ ? name + ".gz" : name; }

  TipJob job() const {
    return {tips_, correction_, visits_, outages_, network_.strict, gzip_, true, threads_};
  }

  std::vector<std::string> inputs() const {
    std::vector<std::string> files{network_.gauges};
    for (std::string& file : job().inputs()) files.push_back(std::move(file));
    if (!config_.empty()) files.push_back(config_);
    return files;
  }

  NetworkInput network_;
  TipInput tips_;
  CorrectionInput correction_;
  std::string visits_, outages_;
  bool wide_ = false;
  bool gzip_ = false;
};

}  // namespace

std::unique_ptr<Command> make_correct() { return std::make_unique<CorrectCommand>(); }

}  // namespace gaugeloom
