#pragma once
// The parts of the work that check, fill and run share: their options, their files, their words.

#include <optional>
#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/visit_order.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/fill/reporting_totals.hpp"
#include "gaugeloom/io/run_record.hpp"
#include "loading.hpp"
#include "option_groups.hpp"
#include "output_folder.hpp"
#include "review_job.hpp"

namespace gaugeloom {

struct CheckInput {
  CheckOptions check;
  std::string outages;      // a file; empty: none
  std::string visits;       // the same
  std::string temperature;  // the same
  std::string learned;      // a run.json whose nulls are used, frozen; empty: learn
  ReviewInput review;
  bool fail_on_findings = false;

  void declare(OptionList& options);
  // Without --fail-on-findings.
  void declare_checks(OptionList& options);
  // Throws Error{invalid_option} for rules between the options.
  void settle() const;
};

struct FillInput {
  FillOptions fill;
  std::vector<std::chrono::seconds> windows;  // totals beside days, months and years
  bool storms = false;                        // the same
  bool wide = false;
  bool gzip = false;
  int members = 0;                  // of an ensemble; 0: none
  bool members_every_step = false;  // else only where something was estimated
  bool members_as_netcdf = false;   // else as CSV

  void declare(OptionList& options);
  // How to fill, without the files.
  void declare_filling(OptionList& options);
  void set_totals(const std::string& text);
  void settle() const;
  std::string rain_name() const { return gzip ? "rain.csv.gz" : "rain.csv"; }
  std::string members_name() const {
    if (members_as_netcdf) return "members.nc";
    return gzip ? "members.csv.gz" : "members.csv";
  }
};

// What checking left behind. `summaries` is empty when the input came already checked.
struct Checked {
  QualityTable quality;
  std::vector<Finding> findings;
  std::vector<GaugeSummary> summaries;
  std::vector<Visit> visits;
  std::vector<FindingEvidence> evidence;  // one per finding with check.keep_evidence, else none
  std::vector<GaugeDoubleMass> double_mass;
  std::vector<ConsistencyRow> consistency;
  Review review;
};

// A depth that an earlier run estimated.
struct EarlierEstimate {
  std::size_t gauge = 0;
  std::size_t step = 0;
  float depth_mm = 0;
};
// Takes them out of the record, where they become missing: they are not measurements.
BulkVector<EarlierEstimate> take_estimates(RainRecord& rain);
// The same, with a notice of their number.
void forget_estimates(LoadedRecord& loaded, Streams io);
// Puts them in the place of what the series has there; the errors of totals stay as learned.
void put_back(SeriesRecord& series, const BulkVector<EarlierEstimate>& estimates);

// Adds what is known beside the rain: zeros within the outages of a log and test tips of visits
// become missing, with a notice of their number; temperatures and a reviewer's decisions join the
// record. Throws as their readers.
// Where other gauges come as tips, it does not say that it found nothing, and a shift that is
// decided leaves the masks where they are.
void add_side_tables(LoadedRecord& loaded, const CheckInput& check, bool strict, Streams io,
                     bool beside_tips = false);

// The record as read, with the qualities of the checks: nothing is changed or filled.
SeriesRecord checked_record(const RainRecord& rain, const QualityTable& quality);

// Checks with what this record teaches, or with what check.learned holds, and replays the decisions
// (checks/reviewed.hpp), which may move readings of the record; notices go to io.err.
Checked check_record(LoadedRecord& loaded, const CheckInput& check, int threads, RunRecord& learned,
                     Streams io);
// The same, but the qualities of the input are trusted when they came in our own words (no
// [quality_codes]) and say that anything was tested.
Checked check_or_trust(LoadedRecord& loaded, const RainInput& rain, const CheckInput& check,
                       int threads, RunRecord& learned, Streams io);
FillResult fill_record(const LoadedRecord& loaded, const Checked& checked,
                       const FillOptions& options, RunRecord& learned);

// Adds gauges.csv and, only where the record was checked here, findings.csv, visits.csv,
// double_mass.csv, consistency.csv and the files of the review.
void add_check_files(OutputFolder& folder, const LoadedRecord& loaded, const Checked& checked,
                     const SeriesRecord& series);
// Adds rain.csv (or its gzip), totals.csv, fill_gauges.csv and, if asked for, members.csv.
void add_fill_files(OutputFolder& folder, const LoadedRecord& loaded, const FillResult& filled,
                    const FillInput& input, std::chrono::minutes day_start, int threads);
// Refuses early when a file of fill would be an input.
void refuse_fill_inputs(const OutputFolder& folder, const FillInput& fill);
// What is left of fill after checking: fills, and adds every file but run.json and run_log.json.
struct FillWork {
  LoadedRecord loaded;
  Checked checked;
  FillResult filled;
};
FillWork fill_checked(LoadedRecord loaded, Checked checked, const FillInput& fill,
                      std::chrono::minutes day_start, int threads, OutputFolder& folder,
                      RunRecord& record);

// The same without files, and what an earlier run filled stays as it is: for commands that work on
// a gap-free series.
FillWork gap_free_series(const NetworkInput& network, const RainInput& rain,
                         const CheckInput& check, const FillInput& fill, int threads,
                         RunRecord& record, Streams io, const ReadEarly& early = {});

// The record as read, for maps. Where an earlier run filled it, its estimates stand as they are and
// the errors of totals are learned again; else nothing is checked or filled.
FillWork series_as_read(const NetworkInput& network, const RainInput& rain, int threads,
                        RunRecord& record, Streams io, const ReadEarly& early = {});

// Adds run.json and run_log.json, and makes every file appear.
void finish_folder(OutputFolder& folder, const RunRecord& record, const RunLog& log);

// The summary: a few lines each.
void print_record(const LoadedRecord& loaded, Streams io);
void print_findings(const LoadedRecord& loaded, const Checked& checked, Streams io);
// Record, findings and filling together.
void print_fill(const FillWork& work, Replace replace, Streams io);

// Exit::findings when asked to fail and anything was found; not_testable is no finding here, since
// a gauge far from all others would then fail every run.
Exit exit_for(const Checked& checked, bool fail_on_findings);

// Wall clock since it was made.
class Stopwatch {
 public:
  double seconds() const;

 private:
  std::chrono::steady_clock::time_point begin_ = std::chrono::steady_clock::now();
};

}  // namespace gaugeloom
