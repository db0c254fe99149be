#include <fmt/format.h>

#include <map>
#include <utility>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/calibration_reader.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/outage_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "gaugeloom/io/site_visit_reader.hpp"
#include "gaugeloom/io/tip_log_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/tips/correct_network.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

class CorrectCommand : public Command {
 public:
  CorrectCommand() {
    network_.declare(options_);
    tips_.declare(options_);
    declare_judging();
    declare_correction();
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
          "Per gauge and month: tips by fate, depth before and after, shares by intensity."},
         {"tip_storms.csv",
          "Per gauge and storm of 1 mm or more: depth, and the most in any 5 to 60 min."},
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
    for (const std::string& name :
         {name_of("rain.csv"), name_of("tips.csv"), std::string("tip_months.csv"),
          std::string("tip_storms.csv"), std::string("pours.csv"), std::string("run.json")})
      folder.refuse_input(name);
    const RunRecord record = begin_run_record("correct", options_, folder.inputs());
    Notices notices;
    GaugeReadOptions read = network_.read_options();
    read.fewest = 1;  // each gauge is corrected by itself
    const Network network = read_gauges(network_.gauges, read, notices);
    const std::vector<GaugeFacts> facts = read_facts(network, notices);
    TipRecord tips = read_record(network, notices);
    print_notices(notices, io);
    const std::vector<std::string> counters = tips.counters;
    const CorrectedNetwork corrected = correct(folder, network, facts, std::move(tips));
    if (!visits_.empty()) write_pours(folder.file("pours.csv"), corrected.pours, network, counters);
    write_tip_months(folder.file("tip_months.csv"), corrected, network);
    write_tip_storms(folder.file("tip_storms.csv"), corrected, network);
    RainWriteOptions write;
    write.gzip = gzip_;
    write.wide = wide_;
    write.threads = threads_;
    write_rain(folder.file(name_of("rain.csv")), corrected.series, network, write);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_notices(oddities(network, facts, corrected), io);
    print(corrected, io);
    return Exit::ok;
  }

 protected:
  void settle() override {
    if (const auto problem = correct_options().problem())
      throw Error(ErrorCode::invalid_option, *problem);
  }

 private:
  void declare_judging() {
    JudgeOptions& judge = correct_.judge;
    options_.choice<StampEdge>("stamp", judge.stamp,
                               {{"start", StampEdge::start}, {"end", StampEdge::end}},
                               "Which end of its second or minute a time marks, where a logger "
                               "writes whole ones.");
    options_.real("bounce-s", "SECONDS", judge.bounce_s, {0, 1},
                  "Two tips of one counter closer than this, in s, are contact bounce and count "
                  "once; 0 for none.");
    declare_instant(options_, "from", judge.from,
                    "Tips before this time are left out and logged as outside.");
    declare_instant(options_, "to", judge.to, "The same for tips from this time on.");
    options_.toggle("watched", watched_,
                    "The counters were alive from --from to --to: steps without a tip are zeros "
                    "all through. Without it they are zeros between the first and the last tip of "
                    "a gauge, and missing outside.");
    options_.path("visits", "FILE", visits_,
                  "CSV gauge,from,to,action,poured_ml,note of visits: tips during one are test "
                  "tips, no rain.");
    options_.path("outages", "FILE", outages_,
                  "CSV gauge,from,to,cause of when a counter or its link was dead: zeros there "
                  "count as missing.");
  }

  void declare_correction() {
    options_.heading("Correction");
    InflowOptions& inflow = correct_.inflow;
    options_.choice<bool>("correction", correct_.correct_intensity,
                          {{"evidence", true}, {"none", false}},
                          "evidence: for each gauge its calibration table, else the loss time of "
                          "a tip, else, behind a siphon, none; none: for no gauge.");
    options_.path("calibration", "FILE", calibration_,
                  "CSV gauge,intensity_mm_h,factor: true depth over indicated depth at an "
                  "indicated intensity in mm/h. Linear between the points, constant beyond.");
    options_.real("loss-time-s", "SECONDS", inflow.loss_time_s, {0, 1},
                  "Time in s per tip during which inflow is lost.");
    options_.texts("corrected", "GAUGE", corrected_,
                   "A gauge whose logger corrects already, or all: its depths are never corrected "
                   "again. May be given several times.");
    options_.real("funnel-cm2", "CM2", inflow.funnel_cm2, {10, 10000},
                  "Catching area in cm2: 314.159 for a funnel of 200 mm, 324.293 for one of 8 "
                  "inches. It tells a siphon_ml that holds more than a bucket.");
    options_.real("burst-gap-s", "SECONDS", inflow.burst_gap_s, {1, 60},
                  "Tips of one emptying of a siphon follow each other within this time, in s.");
  }

  std::string name_of(const std::string& name) const { return gzip_ ? name + ".gz" : name; }

  std::vector<std::string> inputs() const {
    std::vector<std::string> files{network_.gauges};
    for (std::string& file : rain_files(tips_.tips)) files.push_back(std::move(file));
    for (const std::string* file : {&config_, &calibration_, &visits_, &outages_})
      if (!file->empty()) files.push_back(*file);
    return files;
  }

  std::vector<GaugeFacts> read_facts(const Network& network, Notices& notices) const {
    const bool strict = network_.strict;
    std::vector<SiteVisit> visits;
    std::vector<Outage> outages;
    if (!visits_.empty()) visits = read_site_visits(visits_, network, strict, notices);
    if (!outages_.empty()) outages = read_outages(outages_, network, strict, notices);
    std::vector<GaugeFacts> facts = gauge_facts(network, visits, outages);
    if (!calibration_.empty())
      for (auto& [gauge, table] : read_calibrations(calibration_, network, strict, notices))
        facts[gauge].table = table;
    for (const std::string& id : corrected_) declare_corrected(id, network, facts);
    return facts;
  }

  static void declare_corrected(const std::string& id, const Network& network,
                                std::vector<GaugeFacts>& facts) {
    const auto row = network.find(id);
    if (!row && id != "all")
      throw Error(ErrorCode::invalid_option,
                  fmt::format("--corrected {} is no gauge of the list; name one, or all", id));
    for (std::size_t g = 0; g < facts.size(); ++g)
      if (!row || g == *row) facts[g].declared_corrected = true;
  }

  TipRecord read_record(const Network& network, Notices& notices) const {
    const Progress progress("reading");
    return read_tips(tips_.tips, network, tips_.read_options(network_.strict, threads_), notices);
  }

  CorrectNetworkOptions correct_options() const {
    CorrectNetworkOptions options;
    options.correct = correct_;
    options.step = tips_.step;
    options.day_start = tips_.day_start;
    options.watched = watched_;
    options.threads = threads_;
    return options;
  }

  CorrectedNetwork correct(OutputFolder& folder, const Network& network,
                           std::span<const GaugeFacts> facts, TipRecord tips) const {
    const Progress progress("correcting");
    TipLogWriter log(folder.file(name_of("tips.csv")), network, tips.counters, {gzip_, threads_});
    CorrectedNetwork corrected = correct_network(
        std::move(tips), facts, correct_options(),
        [&](std::size_t first, std::span<const CorrectedGauge> few) { log.write(first, few); });
    log.finish();
    return corrected;
  }

  // Sentences about gauges that have something, each with how many and the first of them.
  static Notices oddities(const Network& network, std::span<const GaugeFacts> facts,
                          const CorrectedNetwork& corrected) {
    Notices notices;
    const auto tell = [&](auto count_of, const std::string& sentence) {
      std::size_t gauges = 0;
      std::size_t count = 0;
      std::string first;
      for (std::size_t g = 0; g < network.size(); ++g) {
        const std::size_t of_gauge = count_of(corrected.gauges[g], facts[g]);
        if (of_gauge > 0 && gauges++ == 0) first = network.gauges[g].id;
        count += of_gauge;
      }
      if (gauges > 0)
        notices.push_back(fmt::format(fmt::runtime(sentence), fmt::arg("count", count),
                                      fmt::arg("gauges", gauges), fmt::arg("first", first)));
    };
    tell([](const GaugeTotals& g, const GaugeFacts&) { return g.back; },
         "{count} tips of {gauges} gauges (first: {first}) stand after later ones and were sorted: "
         "a clock set back, or files out of order");
    tell([](const GaugeTotals& g, const GaugeFacts&) { return g.to_the_second; },
         "{count} tips of {gauges} gauges (first: {first}) are written in whole seconds; they were "
         "spread within them");
    tell([](const GaugeTotals& g, const GaugeFacts&) { return g.to_the_minute; },
         "{count} tips of {gauges} gauges (first: {first}) are written in whole minutes; they were "
         "spread within them");
    tell([](const GaugeTotals& g, const GaugeFacts&) { return g.held; },
         "{count} tips of {gauges} gauges (first: {first}) came so close that the rain of the "
         "record minute, 1872 mm/h, was taken for theirs");
    tell([](const GaugeTotals& g, const GaugeFacts&) { return g.beyond_table; },
         "{count} tips of {gauges} gauges (first: {first}) came at intensities beyond the ends of "
         "their calibration table; the factor of its end was used");
    tell(
        [](const GaugeTotals& g, const GaugeFacts&) -> std::size_t {
          return g.tips == std::array<std::size_t, kTipFates>{} ? 1 : 0;
        },
        "{gauges} gauges (first: {first}) have no tip; they are missing throughout");
    tell(
        [](const GaugeTotals& g, const GaugeFacts& f) -> std::size_t {
          return g.correction == IntensityCorrection::none && !f.table && f.rows.back().siphon_ml
                     ? 1
                     : 0;
        },
        "{gauges} gauges (first: {first}) empty a siphon and have no calibration table; they were "
        "not corrected for intensity");
    return notices;
  }

  void print(const CorrectedNetwork& corrected, Streams io) const {
    std::array<std::size_t, kTipFates> tips{};
    std::map<std::string_view, std::size_t> corrections;
    double counted_mm = 0;
    double corrected_mm = 0;
    std::size_t all = 0;
    for (const GaugeTotals& gauge : corrected.gauges) {
      for (std::size_t fate = 0; fate < kTipFates; ++fate) {
        tips[fate] += gauge.tips[fate];
        all += gauge.tips[fate];
      }
      ++corrections[word(gauge.correction)];
      counted_mm += gauge.counted_mm;
      corrected_mm += gauge.corrected_mm;
    }
    io.out << fmt::format("tips {}, gauges {}, steps {} of {}\n", all, corrected.gauges.size(),
                          corrected.series.depth.step_count(), format_duration(tips_.step));
    for (std::size_t fate = 0; fate < kTipFates; ++fate)
      io.out << fmt::format("{:14} {:>10}\n", word(static_cast<TipFate>(fate)), tips[fate]);
    io.out << fmt::format("rain as counted {:.3f} mm, corrected {:.3f} mm", counted_mm,
                          corrected_mm);
    if (counted_mm > 0)
      io.out << fmt::format(" ({:+.2f} %)", 100 * (corrected_mm / counted_mm - 1));
    io.out << "\ncorrected by:";
    for (const auto& [how, gauges] : corrections) io.out << fmt::format(" {} {}", how, gauges);
    io.out << " (gauges)\n";
  }

  NetworkInput network_;
  TipInput tips_;
  CorrectOptions correct_;
  std::string calibration_, visits_, outages_;
  std::vector<std::string> corrected_;
  bool watched_ = false;
  bool wide_ = false;
  bool gzip_ = false;
};

}  // namespace

std::unique_ptr<Command> make_correct() { return std::make_unique<CorrectCommand>(); }

}  // namespace gaugeloom
