#include "tip_job.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/io/calibration_reader.hpp"
#include "gaugeloom/io/counters_writer.hpp"
#include "gaugeloom/io/outage_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/io/site_visit_reader.hpp"
#include "gaugeloom/io/tip_log_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/tips/bucket_in_time.hpp"
#include "gaugeloom/tips/join_tips.hpp"

namespace gaugeloom {
namespace {

std::string log_name(bool gzip) { return gzip ? "tips.csv.gz" : "tips.csv"; }

void declare_corrected(const std::string& id, const Network& network,
                       std::vector<GaugeFacts>& facts) {
  const auto row = network.find(id);
  if (!row && id != "all")
    throw Error(ErrorCode::invalid_option,
                fmt::format("--corrected {} is no gauge of the list; name one, or all", id));
  for (std::size_t g = 0; g < facts.size(); ++g)
    if (!row || g == *row) facts[g].declared_corrected = true;
}

std::vector<GaugeFacts> read_facts(const Network& network, const TipJob& job, Notices& notices) {
  std::vector<SiteVisit> visits;
  std::vector<Outage> outages;
  if (!job.visits.empty()) visits = read_site_visits(job.visits, network, job.strict, notices);
  if (!job.outages.empty()) outages = read_outages(job.outages, network, job.strict, notices);
  std::vector<GaugeFacts> facts = gauge_facts(network, visits, outages);
  const std::string& calibration = job.correction.calibration;
  if (!calibration.empty())
    for (auto& [gauge, table] : read_calibrations(calibration, network, job.strict, notices))
      facts[gauge].table = table;
  for (const std::string& id : job.correction.corrected) declare_corrected(id, network, facts);
  return facts;
}

TipRecord read_record(const Network& network, const TipJob& job, Notices& notices) {
  const Progress progress("reading tips");
  return read_tips(job.tips.tips, network, job.tips.read_options(job.strict, job.threads), notices);
}

CorrectNetworkOptions options_of(const TipJob& job) {
  CorrectNetworkOptions options;
  options.correct = job.correction.correct;
  options.step = job.tips.step;
  options.day_start = job.tips.day_start;
  options.watched = job.correction.watched;
  options.threads = job.threads;
  return options;
}

CorrectedNetwork correct(const Network& network, const TipJob& job,
                         std::span<const GaugeFacts> facts, TipRecord tips, OutputFolder& folder) {
  const Progress progress("correcting");
  TipLogWriter log(folder.file(log_name(job.gzip)), network, tips.counters,
                   {job.gzip, job.threads});
  CorrectedNetwork corrected = correct_network(
      std::move(tips), facts, options_of(job),
      [&](std::size_t first, std::span<const CorrectedGauge> few) { log.write(first, few); });
  log.finish();
  return corrected;
}

// What some gauges have, each with how much of it and where.
Notices oddities(const Network& network, std::span<const GaugeFacts> facts,
                 const CorrectedNetwork& corrected, bool alone) {
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
                                    fmt::arg("gauges", gauges_in_words(gauges, first))));
  };
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.back; },
       "tips that stood after later ones, sorted: {count} of {gauges}; a clock set back, or files "
       "out of order (counters.csv says when)");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.spells_differ; },
       "spells of rain that two counters counted differently: {count} at {gauges}; electronics or "
       "telemetry (counters.csv says which was believed and why)");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.clocks_set; },
       "times the clock of a counter was set: {count} at {gauges}; counters.csv says when and by "
       "how much");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.to_the_second; },
       "tips written in whole seconds, spread within them: {count} of {gauges}");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.to_the_minute; },
       "tips written in whole minutes, spread within them: {count} of {gauges}");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.held; },
       "tips so close that the rain of the record minute, 1872 mm/h, was taken for theirs: {count} "
       "of {gauges}");
  tell([](const GaugeTotals& g, const GaugeFacts&) { return g.beyond_table; },
       "tips at intensities beyond the ends of their calibration table, corrected by the factor of "
       "its end: {count} of {gauges}");
  tell([alone](const GaugeTotals& g,
               const GaugeFacts&) -> std::size_t { return alone && g.all_tips() == 0 ? 1 : 0; },
       "without a tip, so missing throughout: {gauges}");
  tell(
      [](const GaugeTotals& g, const GaugeFacts& f) -> std::size_t {
        return g.all_tips() > 0 && g.correction == IntensityCorrection::declared && f.table ? 1 : 0;
      },
      "named by --corrected, yet with a calibration table: {gauges}; the table is not used, since "
      "no depth is corrected twice; leave out the one that is wrong");
  tell(
      [](const GaugeTotals& g, const GaugeFacts& f) -> std::size_t {
        return g.all_tips() > 0 && g.correction == IntensityCorrection::none && !f.table &&
                       f.rows.back().siphon_ml
                   ? 1
                   : 0;
      },
      "with a siphon and no calibration table, so not corrected for intensity: {gauges}");
  return notices;
}

// What holds for each gauge from when on.
Notices applied_pours(const Network& network, std::span<const GaugeFacts> facts,
                      const CorrectedNetwork& corrected) {
  Notices notices;
  for (std::size_t g = 0; g < network.size(); ++g)
    for (const BucketFactor& one : corrected.factors[g])
      notices.push_back(
          fmt::format("gauge {}: from {} on a tip is worth {:.4f} mm, {:.4f} times the "
                      "listed bucket",
                      network.gauges[g].id, format_utc(one.from),
                      one.factor * BucketInTime(facts[g].rows).mm(one.from), one.factor));
  return notices;
}

// The steps of a record are those its tips are shared among.
void take_steps(const StepAxis& axis, TipInput& tips) {
  constexpr Duration kDay = std::chrono::days(1);
  constexpr Duration kMinute = std::chrono::minutes(1);
  const Duration since = axis.end(0).time_since_epoch() % kDay;
  const Duration phase = since < Duration(0) ? since + kDay : since;
  if (axis.step() < kMinute || axis.step() > kDay || kDay % axis.step() != Duration(0) ||
      phase % kMinute != Duration(0))
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("the depths stand at steps of {} of which one ends at {}; tips can be "
                            "shared among steps from 1min to 1d that end at whole minutes and of "
                            "which a day is a whole number; sum the depths of --rain up to such "
                            "steps",
                            format_duration(axis.step()), format_utc(axis.end(0))));
  tips.step = axis.step();
  tips.day_start = std::chrono::duration_cast<std::chrono::minutes>(phase);
}

void tell_twice(const TwiceGiven& twice, const Network& network, bool strict, Streams io) {
  if (twice.steps == 0) return;
  const std::string what =
      fmt::format("tips and depths for the same steps: {} of {}", twice.steps,
                  gauges_in_words(twice.gauges, network.gauges[twice.first].id));
  if (strict)
    throw Error(ErrorCode::inconsistent_input,
                what + "; leave such gauges out of --rain or out of --tips");
  Notices notices{fmt::format("{}; the tips hold ({:.1f} mm, the depths {:.1f} mm)", what,
                              twice.tips_mm, twice.depths_mm)};
  if (twice.totals > 0)
    notices.push_back(
        fmt::format("{} accumulated totals over times of tips are not used", twice.totals));
  print_notices(notices, io);
}

void tell_absent(const RainTable& depths, const Network& network, Streams io) {
  std::size_t absent = 0;
  std::size_t first = 0;
  for (std::size_t g = 0; g < depths.gauge_count(); ++g) {
    const auto bits = depths.measured_bits(g);
    if (std::ranges::any_of(bits, [](std::uint64_t word) { return word != 0; })) continue;
    if (absent++ == 0) first = g;
  }
  if (absent == 0) return;
  print_notices({fmt::format("with neither depths nor tips, so missing throughout: {}",
                             gauges_in_words(absent, network.gauges[first].id))},
                io);
}

}  // namespace

void CorrectionInput::declare_judging(OptionList& options) {
  JudgeOptions& judge = correct.judge;
  options.choice<StampEdge>("stamp", judge.stamp,
                            {{"start", StampEdge::start}, {"end", StampEdge::end}},
                            "Which end of its second or minute a time marks, where a logger "
                            "writes whole ones.");
  options.real("bounce-s", "SECONDS", judge.bounce_s, {0, 1},
               "Two tips of one counter closer than this, in s, are contact bounce and count "
               "once; 0 for none.");
  declare_instant(options, "from", judge.from,
                  "Tips before this time are left out and logged as outside.");
  declare_instant(options, "to", judge.to, "The same for tips from this time on.");
  options.toggle("watched", watched,
                 "The counters were alive from --from to --to: steps without a tip are zeros "
                 "all through. Without it they are zeros between the first and the last tip of "
                 "a gauge, and missing outside.");
}

void CorrectionInput::declare_correction(OptionList& options) {
  options.heading("Correction");
  InflowOptions& inflow = correct.inflow;
  options.choice<bool>("correction", correct.correct_intensity,
                       {{"evidence", true}, {"none", false}},
                       "evidence: for each gauge its calibration table, else the loss time of "
                       "a tip, else, behind a siphon, none; none: for no gauge.");
  options.path("calibration", "FILE", calibration,
               "CSV gauge,intensity_mm_h,factor: true depth over indicated depth at an "
               "indicated intensity in mm/h. Linear between the points, constant beyond.");
  options.toggle("apply-pours", correct.apply_pours,
                 "From the end of a visit with a pour on, a tip is worth what the pour showed, "
                 "until the next pour or another bucket; a pour of fewer than 20 tips changes "
                 "nothing. Needs --visits. Without it pours are only told in pours.csv.");
  options.real("loss-time-s", "SECONDS", inflow.loss_time_s, {0, 1},
               "Time in s per tip during which inflow is lost.");
  options.texts("corrected", "GAUGE", corrected,
                "A gauge whose logger corrects already, or all: its depths are never corrected "
                "again. May be given several times.");
  options.real("funnel-cm2", "CM2", inflow.funnel_cm2, {10, 10000},
               "Catching area in cm2: 314.159 for a funnel of 200 mm, 324.293 for one of 8 "
               "inches. It tells a siphon_ml that holds more than a bucket.");
  options.real("burst-gap-s", "SECONDS", inflow.burst_gap_s, {1, 60},
               "Tips of one emptying of a siphon follow each other within this time, in s.");
}

void CorrectionInput::settle(const std::string& visits) const {
  CorrectNetworkOptions options;
  options.correct = correct;
  options.watched = watched;
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  if (correct.apply_pours && visits.empty())
    throw Error(ErrorCode::invalid_option,
                "--apply-pours needs --visits, the file that says what was poured when");
}

std::vector<std::string> TipJob::inputs() const {
  std::vector<std::string> files = rain_files(tips.tips);
  for (const std::string* file : {&correction.calibration, &visits, &outages})
    if (!file->empty()) files.push_back(*file);
  return files;
}

std::vector<std::string> TipJob::outputs() const {
  return {log_name(gzip), "tip_months.csv", "tip_storms.csv", "counters.csv", "pours.csv"};
}

CorrectedNetwork correct_tips(const Network& network, const TipJob& job, OutputFolder& folder,
                              Streams io) {
  Notices notices;
  const std::vector<GaugeFacts> facts = read_facts(network, job, notices);
  TipRecord tips = read_record(network, job, notices);
  print_notices(notices, io);
  const std::vector<std::string> counters = tips.counters;
  CorrectedNetwork corrected = correct(network, job, facts, std::move(tips), folder);
  if (!job.visits.empty())
    write_pours(folder.file("pours.csv"), corrected.pours, network, counters);
  write_tip_months(folder.file("tip_months.csv"), corrected, network);
  write_tip_storms(folder.file("tip_storms.csv"), corrected, network);
  write_counters(folder.file("counters.csv"), corrected, network, counters);
  print_notices(oddities(network, facts, corrected, job.alone), io);
  print_notices(applied_pours(network, facts, corrected), io);
  return corrected;
}

CorrectedNetwork add_tips(LoadedRecord& loaded, TipJob job, OutputFolder& folder, Streams io) {
  const StepAxis& axis = loaded.rain.depths.axis();
  job.alone = axis.count() == 0;
  if (!job.alone) take_steps(axis, job.tips);
  CorrectedNetwork corrected = correct_tips(loaded.network, job, folder, io);
  tell_twice(join_tips(loaded.rain, corrected), loaded.network, job.strict, io);
  if (!job.alone) tell_absent(loaded.rain.depths, loaded.network, io);
  corrected.series = {};
  return corrected;
}

void print_corrected(const CorrectedNetwork& corrected, const StepAxis& axis, Streams io) {
  std::array<std::size_t, kTipFates> tips{};
  std::map<std::string_view, std::size_t> corrections;
  double counted_mm = 0;
  double corrected_mm = 0;
  std::size_t all = 0;
  std::size_t gauges = 0;
  for (const GaugeTotals& gauge : corrected.gauges) {
    if (gauge.all_tips() == 0) continue;
    ++gauges;
    for (std::size_t fate = 0; fate < kTipFates; ++fate) {
      tips[fate] += gauge.tips[fate];
      all += gauge.tips[fate];
    }
    ++corrections[word(gauge.correction)];
    counted_mm += gauge.counted_mm;
    corrected_mm += gauge.corrected_mm;
  }
  io.out << fmt::format("tips {}, gauges {}, steps {} of {}\n", all, gauges, axis.count(),
                        format_duration(axis.step()));
  for (std::size_t fate = 0; fate < kTipFates; ++fate)
    io.out << fmt::format("{:14} {:>10}\n", word(static_cast<TipFate>(fate)), tips[fate]);
  io.out << fmt::format("rain as counted {:.3f} mm, corrected {:.3f} mm", counted_mm, corrected_mm);
  if (counted_mm > 0) io.out << fmt::format(" ({:+.2f} %)", 100 * (corrected_mm / counted_mm - 1));
  io.out << "\ncorrected by:";
  for (const auto& [how, count] : corrections) io.out << fmt::format(" {} {}", how, count);
  io.out << " (gauges)\n";
}

}  // namespace gaugeloom
