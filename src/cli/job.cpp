#include "job.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>
#include <utility>

#include <fmt/format.h>

#include "gaugeloom/checks/gauge_overview.hpp"
#include "gaugeloom/io/consistency_writer.hpp"
#include "gaugeloom/io/decision_reader.hpp"
#include "gaugeloom/io/double_mass_writer.hpp"
#include "gaugeloom/io/fill_gauges_writer.hpp"
#include "gaugeloom/io/findings_writer.hpp"
#include "gaugeloom/io/gauges_writer.hpp"
#include "gaugeloom/io/learned_reader.hpp"
#include "gaugeloom/io/members_netcdf_writer.hpp"
#include "gaugeloom/io/members_writer.hpp"
#include "gaugeloom/io/outage_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "gaugeloom/io/sha256.hpp"
#include "gaugeloom/io/site_visit_reader.hpp"
#include "gaugeloom/io/temperature_reader.hpp"
#include "gaugeloom/io/totals_writer.hpp"
#include "gaugeloom/io/visits_writer.hpp"
#include "gaugeloom/rain/outage.hpp"
#include "gaugeloom/rain/test_tips.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

void throw_problem(const std::optional<std::string>& problem) {
  if (problem) throw Error(ErrorCode::invalid_option, *problem);
}

void learn(RunRecord& learned, const CheckResult& result) {
  for (const LearnedThreshold& threshold : result.nulls.thresholds) {
    const std::string key = fmt::format("checks.{}.", word(threshold.kind));
    learned.learned_numbers[key + "provisional"] = threshold.provisional;
    learned.learned_numbers[key + "confirmed"] = threshold.confirmed;
    learned.learned_numbers[key + "tail_scale"] = threshold.tail_scale;
    learned.learned_numbers[key + "peaks"] = static_cast<double>(threshold.peaks);
  }
  for (const LearnedMissRate& rate : result.miss_rates) {
    if (rate.hours == 0) continue;
    learned.learned_tables["checks.miss_rates"].push_back(
        {{"expected_from_mm", rate.depth_from_mm},
         {"wet_share_from", rate.wet_share_from},
         {"dry_before", rate.dry_before ? 1 : 0},
         {"hours", static_cast<double>(rate.hours)},
         {"probability", rate.probability}});
  }
  learned.learned_numbers["checks.gauge_years"] = result.gauge_years;
  learned.learned_numbers["checks.rounds"] = result.rounds;
  learned.learned_words["checks.method"] =
      result.method == InterpolationMethod::ordinary_kriging ? "ok" : "idw";
}

void learn(RunRecord& learned, const FillPlan& plan) {
  learned.learned_words["fill.method"] = word(plan.method);
  learned.learned_words["fill.site_ratio"] = plan.site_ratio ? "used" : "not used";
  learned.learned_words["fill.learned"] = plan.learned ? "yes" : "no";
  learned.learned_numbers["fill.variogram.nugget"] = plan.variogram_nugget;
  learned.learned_numbers["fill.variogram.range_km"] = plan.variogram_range_m / 1000;
  learned.learned_numbers["fill.mean_correction"] = plan.mean_correction;
  learned.learned_numbers["fill.wet_threshold"] = plan.wet_threshold;
  for (const MethodScore& score : plan.scores)
    learned.learned_numbers[fmt::format("fill.rmse_mm.{}{}", word(score.method),
                                        score.site_ratio ? ", site ratio" : "")] = score.rmse_mm;
  learned.learned_numbers["fill.rmse_mm.nearest gauge"] = plan.nearest_rmse_mm;
  learned.learned_numbers["fill.rmse_mm.plain inverse distance"] = plan.plain_inverse_rmse_mm;
  learned.learned_numbers["fill.bias"] = plan.bias;
  learned.learned_numbers["fill.wet_ratio"] = plan.wet_ratio;
  learned.learned_numbers["fill.coverage.hour"] = plan.hourly_coverage;
  learned.learned_numbers["fill.coverage.day"] = plan.daily_coverage;
}

double days_of(Duration length) {
  return std::chrono::duration<double, std::ratio<86400>>(length).count();
}

}  // namespace

void CheckInput::declare(OptionList& options) {
  declare_checks(options);
  options.path("learned", "FILE", learned,
               "The run.json of an earlier check of this network: its thresholds and laws are used "
               "as they are, and the checks learn nothing from this record.");
  review.declare_decisions(options);
  options.toggle("fail-on-findings", fail_on_findings,
                 "End with exit status 3 when anything is found (not_testable does not count).");
}

void CheckInput::declare_checks(OptionList& options) {
  options.heading("Checks");
  options.real("provisional-calls", "PER_GAUGE_YEAR", check.provisional_calls_per_gauge_year,
               {0.0001, 20},
               "The dial: how many provisional findings per gauge and year may be called on a "
               "record without faults, over all checks together. Thresholds follow from it.");
  options.real("confirmed-calls", "PER_GAUGE_YEAR", check.confirmed_calls_per_gauge_year,
               {0.00001, 20}, "The same for confirmed findings; at most the provisional number.");
  options.whole("blame-rounds", "N", check.blame_rounds, {1, 100},
                "How often the worst gauges are left out and everything is learned again.");
  options.path("outages", "FILE", outages,
               "CSV gauge,from,to,cause of when a counter or its link was dead: zeros there count "
               "as missing.");
  options.path("visits", "FILE", visits,
               "CSV gauge,from,to,action,poured_ml,note of visits (action: cleaned, calibrated, "
               "repaired, inspected): what was read during one is test tips, no rain.");
  options.path("temperature", "FILE", temperature,
               "CSV time,gauge,celsius of air temperatures (gauge * = all gauges). Hours that are "
               "cold at a gauge are not tested there and do not speak for its neighbours.");
  options.real("cold-celsius", "CELSIUS", check.cold_celsius, {-20, 10},
               "Below this it is cold: snow may lie in the funnel and melt later.");
}

void CheckInput::settle() const { throw_problem(check.problem()); }

void FillInput::declare_filling(OptionList& options) {
  options.heading("Filling");
  options.choice<Replace>("replace", fill.replace,
                          {{"provisional", Replace::provisional},
                           {"confirmed", Replace::confirmed},
                           {"none", Replace::none}},
                          "Which measured depths give way to estimates: those under a provisional "
                          "or confirmed finding, those under a confirmed one, or none. Missing "
                          "steps are always filled.");
  options.whole("fill-neighbours", "N", fill.neighbours, {3, 64},
                "Nearest usable gauges per estimate.");
  options.real("max-lone-side-km", "KM", fill.max_lone_side_km, {1, 2000},
               "When all neighbours lie in one quadrant and the nearest is farther than this, in "
               "km, nothing is estimated.");
  options.toggle("whole-tips", fill.whole_tips,
                 "Estimate in whole buckets (bucket_mm of the gauge), as it would have read them.");
}

void FillInput::declare(OptionList& options) {
  declare_filling(options);
  options
      .add("totals", "LIST",
           "Totals beside those of days, months and years, parted by commas: windows such as 1h or "
           "6h, of which a day holds a whole number, and storm.")
      .set = [this](const std::string& text) { set_totals(text); };
  options.toggle("wide", wide, "Write rain.csv as time,<gauge>,<gauge>,...: depths only, in mm.");
  options.toggle("gzip", gzip, "Write rain.csv.gz in place of rain.csv; members.csv likewise.");
  options.whole("members", "N", members, {0, 1000},
                "Write members.csv (or members.nc): N series that could be the truth as well as "
                "the filled one. "
                "They are estimates; only measured depths are alike in all. 0: none.");
  options.choice<bool>("members-as", members_as_netcdf, {{"csv", false}, {"netcdf", true}},
                       "members.csv, or members.nc: netCDF by the CF conventions, always with "
                       "every step.");
  options.toggle("members-every-step", members_every_step,
                 "Write measured and missing steps into members.csv too, so that each column is a "
                 "whole series.");
}

void FillInput::set_totals(const std::string& text) {
  std::stringstream list(text);
  for (std::string word; std::getline(list, word, ',');) {
    if (word == "storm") {
      storms = true;
      continue;
    }
    const auto window = parse_duration(word);
    if (!window)
      throw Error(
          ErrorCode::invalid_option,
          fmt::format("--totals {} is neither a window nor storm; write it like 1h,6h,storm",
                      word));
    windows.push_back(*window);
  }
}

void FillInput::settle() const {
  throw_problem(fill.problem());
  if (members_every_step && members == 0)
    throw Error(ErrorCode::invalid_option,
                "--members-every-step is about --members; say how many, such as --members 20");
}

BulkVector<EarlierEstimate> take_estimates(RainRecord& rain) {
  BulkVector<EarlierEstimate> taken;
  if (rain.quality.steps == 0) return taken;
  for (std::size_t gauge = 0; gauge < rain.depths.gauge_count(); ++gauge) {
    for (std::size_t step = 0; step < rain.depths.step_count(); ++step) {
      if (rain.quality.at(gauge, step) != Quality::estimate) continue;
      taken.push_back({gauge, step, rain.depths.depth_mm(gauge, step)});
      rain.depths.set_missing(gauge, step);
      rain.quality.at(gauge, step) = Quality::missing;
    }
  }
  return taken;
}

void forget_estimates(LoadedRecord& loaded, Streams io) {
  const std::size_t forgotten = take_estimates(loaded.rain).size();
  if (forgotten == 0) return;
  print_notices({fmt::format("{} depths with quality estimate are no measurements and count as "
                             "missing",
                             forgotten)},
                io);
}

void put_back(SeriesRecord& series, const BulkVector<EarlierEstimate>& estimates) {
  if (estimates.empty()) return;
  if (series.low_mm.empty()) make_room_for_bounds(series);
  for (const EarlierEstimate& one : estimates) {
    if (std::isnan(one.depth_mm)) continue;
    const std::size_t i = series.index(one.gauge, one.step);
    series.depth.set(one.gauge, one.step, one.depth_mm);
    series.quality.at(one.gauge, one.step) = Quality::estimate;
    series.origin[i] = Origin::neighbours;
    series.low_mm[i] = series.low_mm[i] < one.depth_mm ? series.low_mm[i] : 0;
    if (series.high_mm[i] < one.depth_mm) series.high_mm[i] = one.depth_mm;
  }
}

namespace {

// Logs of when what was read is no rain.
struct Masks {
  std::vector<Outage> outages;
  std::vector<SiteVisit> visits;
};

Masks read_masks(const CheckInput& check, const Network& network, bool strict, Notices& notices) {
  Masks masks;
  if (!check.outages.empty()) masks.outages = read_outages(check.outages, network, strict, notices);
  if (!check.visits.empty())
    masks.visits = read_site_visits(check.visits, network, strict, notices);
  return masks;
}

void tell(const MaskedSteps& masked, const std::string& path, bool beside_tips, Notices& notices) {
  if (masked.zeros > 0 || !beside_tips)
    notices.push_back(
        fmt::format("{} zeros within the outages of {} count as missing", masked.zeros, path));
  if (masked.with_rain > 0)
    notices.push_back(
        fmt::format("{} depths above 0 within outages were kept; look at the times in {}",
                    masked.with_rain, path));
}

void tell(const TestTips& tips, const std::string& path, bool beside_tips, Notices& notices) {
  if (tips.steps > 0 || !beside_tips)
    notices.push_back(fmt::format(
        "{} steps with {:.1f} mm within the visits of {} are test tips and count as missing",
        tips.steps, tips.depth_mm, path));
  if (tips.zeros > 0)
    notices.push_back(
        fmt::format("{} zeros beside the pours of {} count as missing", tips.zeros, path));
  if (tips.totals > 0)
    notices.push_back(fmt::format("{} accumulated totals with pours of {} in them are not used",
                                  tips.totals, path));
}

}  // namespace

void add_side_tables(LoadedRecord& loaded, const CheckInput& check, bool strict, Streams io,
                     bool beside_tips) {
  Notices notices;
  const Masks masks = read_masks(check, loaded.network, strict, notices);
  if (!check.temperature.empty())
    loaded.rain.temperatures =
        read_temperatures(check.temperature, loaded.network, strict, notices);
  if (!check.review.decisions.empty())
    loaded.decisions = read_decisions(check.review.decisions, loaded.network, strict, notices);
  const bool may_move = std::ranges::any_of(
      loaded.decisions, [](const Decision& one) { return one.verdict == Verdict::shift; });
  if (may_move && !beside_tips)
    loaded.unmasked = Unmasked{loaded.rain, [masks](RainRecord& record) {
                                 mask_outages(record, masks.outages);
                                 mask_test_tips(record, masks.visits);
                               }};
  if (!check.outages.empty())
    tell(mask_outages(loaded.rain, masks.outages), check.outages, beside_tips, notices);
  if (!check.visits.empty())
    tell(mask_test_tips(loaded.rain, masks.visits), check.visits, beside_tips, notices);
  print_notices(notices, io);
}

SeriesRecord checked_record(const RainRecord& rain, const QualityTable& quality) {
  SeriesRecord record = unchecked_record(rain);
  record.quality = quality;
  return record;
}

namespace {

// What another run learned, for the gauges of this record.
LearnedNulls frozen_nulls(const LoadedRecord& loaded, const std::string& path, Streams io) {
  const NullValues values = read_learned(path);
  MatchedNulls matched;
  try {
    matched = matched_nulls(values, loaded.network, loaded.rain.depths.axis().step());
  } catch (const Error& error) {
    throw Error(error.code(),
                fmt::format("{}; name another file, or leave out --learned to learn "
                            "from this record",
                            error.what()),
                {path});
  }
  Notices notices;
  if (matched.unknown > 0)
    notices.push_back(
        fmt::format("{} gauges are not in {}: they are taken for gauges like any "
                    "other, with site ratio 1",
                    matched.unknown, path));
  if (matched.left_out > 0)
    notices.push_back(
        fmt::format("{} gauges of {} are not in the gauge list", matched.left_out, path));
  print_notices(notices, io);
  return std::move(matched.nulls);
}

}  // namespace

Checked check_record(LoadedRecord& loaded, const CheckInput& check, int threads, RunRecord& learned,
                     Streams io) {
  const std::optional<Told> last = read_last_run(check.review);
  CheckOptions options = check.check;
  options.threads = threads;
  std::optional<LearnedNulls> frozen;
  if (!check.learned.empty()) frozen = frozen_nulls(loaded, check.learned, io);
  const Progress progress("checking");
  ReviewedCheck reviewed =
      check_reviewed(loaded.network, loaded.rain, loaded.decisions, sha256_of_text, options,
                     frozen ? &*frozen : nullptr, std::exchange(loaded.unmasked, {}));
  CheckResult& result = reviewed.result;
  learn(learned, result);
  if (!result.gauges.empty())
    learned.nulls = null_values(result.nulls, loaded.network, loaded.rain.depths.axis().step());
  Checked checked;
  const Duration length =
      loaded.rain.depths.axis().span().to - loaded.rain.depths.axis().span().from;
  if (!result.gauges.empty())
    checked.visits = visit_order(loaded.network, result, days_of(length),
                                 options.provisional_calls_per_gauge_year, reviewed.reviews);
  checked.quality = std::move(result.quality);
  checked.findings = std::move(result.findings);
  checked.summaries = std::move(result.gauges);
  checked.evidence = std::move(result.evidence);
  checked.double_mass = std::move(result.double_mass);
  checked.consistency = std::move(result.consistency);
  checked.review = review_of(check.review, checked.findings, std::move(reviewed.reviews),
                             std::move(reviewed.decisions), last, loaded.network);
  return checked;
}

namespace {

// Whether anything was ever tested: a record of raw depths is unchecked or missing throughout.
bool was_checked(const QualityTable& quality) {
  return std::ranges::any_of(quality.values, [](Quality one) {
    return one != Quality::unchecked && one != Quality::missing;
  });
}

}  // namespace

Checked check_or_trust(LoadedRecord& loaded, const RainInput& rain, const CheckInput& check,
                       int threads, RunRecord& learned, Streams io) {
  if (rain.quality_codes.empty() && was_checked(loaded.rain.quality)) {
    tell_unreviewed(check.review, io);
    return {loaded.rain.quality, {}, {}, {}, {}, {}, {}, {}};
  }
  return check_record(loaded, check, threads, learned, io);
}

FillResult fill_record(const LoadedRecord& loaded, const Checked& checked,
                       const FillOptions& options, RunRecord& learned) {
  const Progress progress("filling");
  FillResult result =
      fill_gaps(loaded.network, loaded.rain, checked.quality, options, held_back(checked.findings));
  learn(learned, result.plan);
  return result;
}

void add_check_files(OutputFolder& folder, const LoadedRecord& loaded, const Checked& checked,
                     const SeriesRecord& series) {
  const auto overview =
      gauge_overview(loaded.network, series, checked.findings, checked.visits, checked.summaries);
  write_gauges(folder.file("gauges.csv"), loaded.network, overview, checked.summaries);
  if (checked.summaries.empty()) return;
  write_findings(folder.file("findings.csv"), checked.findings, loaded.network,
                 checked.review.findings);
  add_review_files(folder, checked.review, loaded.network);
  write_visits(folder.file("visits.csv"), checked.visits, checked.findings, loaded.network);
  write_double_mass(folder.file("double_mass.csv"), checked.double_mass, loaded.network);
  write_consistency(folder.file("consistency.csv"), checked.consistency, loaded.network);
}

void add_fill_files(OutputFolder& folder, const LoadedRecord& loaded, const FillResult& filled,
                    const FillInput& input, std::chrono::minutes day_start, int threads) {
  RainWriteOptions write;
  write.gzip = input.gzip;
  write.wide = input.wide;
  write.threads = threads;
  write_rain(folder.file(input.rain_name()), filled.record, loaded.network, write);
  const ReportingOptions reporting{day_start, input.windows, input.storms};
  const auto totals = reporting_totals(filled.record, filled.errors, reporting);
  write_totals(folder.file("totals.csv"), totals, loaded.network);
  write_fill_gauges(folder.file("fill_gauges.csv"), filled, loaded.network);
  if (input.members == 0) return;
  const Progress progress("drawing members");
  const Ensemble ensemble(loaded.network, loaded.rain, filled, {input.members, 1, threads});
  if (input.members_as_netcdf) {
    write_members_netcdf(folder.staged(input.members_name()), ensemble, filled.record,
                         loaded.network, {threads});
    return;
  }
  write_members(folder.file(input.members_name()), ensemble, filled.record, loaded.network,
                {input.members_every_step, input.gzip, threads});
}

namespace {

FillWork filled(LoadedRecord loaded, Checked checked, const FillInput& fill, int threads,
                RunRecord& record) {
  FillWork work{std::move(loaded), std::move(checked), {}};
  FillOptions options = fill.fill;
  options.threads = threads;
  work.filled = fill_record(work.loaded, work.checked, options, record);
  return work;
}

}  // namespace

void refuse_fill_inputs(const OutputFolder& folder, const FillInput& fill) {
  for (const std::string& name :
       {fill.rain_name(), fill.members_name(), std::string("totals.csv"),
        std::string("fill_gauges.csv"), std::string("findings.csv"), std::string("gauges.csv"),
        std::string("visits.csv"), std::string("double_mass.csv"), std::string("consistency.csv"),
        std::string("run.json")})
    folder.refuse_input(name);
  for (const std::string& name : review_files()) folder.refuse_input(name);
}

FillWork fill_checked(LoadedRecord loaded, Checked checked, const FillInput& fill,
                      std::chrono::minutes day_start, int threads, OutputFolder& folder,
                      RunRecord& record) {
  FillWork work = filled(std::move(loaded), std::move(checked), fill, threads, record);
  add_fill_files(folder, work.loaded, work.filled, fill, day_start, threads);
  add_check_files(folder, work.loaded, work.checked, work.filled.record);
  return work;
}

FillWork gap_free_series(const NetworkInput& network, const RainInput& rain,
                         const CheckInput& check, const FillInput& fill, int threads,
                         RunRecord& record, Streams io, const ReadEarly& early) {
  LoadedRecord loaded = load_record(network, rain, threads, io, early);
  const BulkVector<EarlierEstimate> estimates = take_estimates(loaded.rain);
  add_side_tables(loaded, check, network.strict, io);
  Checked checked = check_or_trust(loaded, rain, check, threads, record, io);
  FillWork work = filled(std::move(loaded), std::move(checked), fill, threads, record);
  put_back(work.filled.record, estimates);
  return work;
}

FillWork series_as_read(const NetworkInput& network, const RainInput& rain, int threads,
                        RunRecord& record, Streams io, const ReadEarly& early) {
  LoadedRecord loaded = load_record(network, rain, threads, io, early);
  const BulkVector<EarlierEstimate> estimates = take_estimates(loaded.rain);
  if (estimates.empty()) {
    FillWork work;
    work.loaded = std::move(loaded);
    work.filled.record = unchecked_record(work.loaded.rain);
    return work;
  }
  Checked checked = check_or_trust(loaded, rain, {}, threads, record, io);
  FillWork work = filled(std::move(loaded), std::move(checked), {}, threads, record);
  put_back(work.filled.record, estimates);
  return work;
}

void finish_folder(OutputFolder& folder, const RunRecord& record, const RunLog& log) {
  write_run_record(folder.file("run.json"), record);
  write_run_log(folder.file("run_log.json"), log);
  folder.commit();
}

Exit exit_for(const Checked& checked, bool fail_on_findings) {
  const bool found =
      std::any_of(checked.findings.begin(), checked.findings.end(),
                  [](const Finding& finding) { return finding.kind != FindingKind::not_testable; });
  return fail_on_findings && found ? Exit::findings : Exit::ok;
}

double Stopwatch::seconds() const {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin_).count();
}

}  // namespace gaugeloom
