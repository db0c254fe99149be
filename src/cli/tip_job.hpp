#pragma once
// The part of the work that correct and run share: tips read, corrected and accounted for.

#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/tips/correct_network.hpp"
#include "loading.hpp"
#include "option_groups.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

// How tips are judged and corrected. Declare after TipInput.
struct CorrectionInput {
  CorrectOptions correct;
  std::string calibration;             // a file; empty: none
  std::vector<std::string> corrected;  // gauges, or all
  bool watched = false;

  void declare_judging(OptionList& options);
  void declare_correction(OptionList& options);
  // Throws Error{invalid_option} for rules between the options, of which `visits` is one.
  void settle(const std::string& visits) const;
};

// Everything about the tips of a run.
struct TipJob {
  TipInput tips;
  CorrectionInput correction;
  std::string visits;   // a file; empty: none
  std::string outages;  // the same
  bool strict = false;
  bool gzip = false;
  bool alone = true;  // no gauge has another series
  int threads = 0;

  // The files it reads, but for the configuration.
  std::vector<std::string> inputs() const;
  // The files it may write.
  std::vector<std::string> outputs() const;
};

// Reads the tips and what is told of their gauges, corrects them, and adds tips.csv,
// tip_months.csv, tip_storms.csv, counters.csv and, with visits, pours.csv to the folder; notices
// go to io.err. Throws as the readers and correct_network.
CorrectedNetwork correct_tips(const Network& network, const TipJob& job, OutputFolder& folder,
                              Streams io);

// Corrects tips as above and joins them to a record, whose steps they take when it has any: their
// own series then holds where both say something, with a notice, or an error when strict. The
// record is not yet settled (settle_histories): a gauge has the row of each tip.
// Throws besides Error{inconsistent_input} when tips cannot be brought to the steps of the record.
CorrectedNetwork add_tips(LoadedRecord& loaded, TipJob job, OutputFolder& folder, Streams io);

// The summary: a few lines.
void print_corrected(const CorrectedNetwork& corrected, const StepAxis& axis, Streams io);

}  // namespace gaugeloom
