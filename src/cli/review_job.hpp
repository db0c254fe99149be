#pragma once
// A reviewer's decisions and what is new since the last run: options, files, words.

#include <optional>
#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/checks/finding_changes.hpp"
#include "gaugeloom/checks/reviewed.hpp"
#include "loading.hpp"
#include "option_list.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

struct ReviewInput {
  std::string decisions;  // a file; empty: none
  std::string last_run;   // a folder; empty: none

  void declare_decisions(OptionList& options);
  void declare_last_run(OptionList& options);
};

// What is known of the findings beside themselves.
struct Review {
  std::vector<FindingReview> findings;      // one per finding
  bool has_decisions = false;               // whether any were given
  std::vector<ReplayedDecision> decisions;  // by gauge id, then finding_id
  bool has_last_run = false;
  std::vector<FindingChange> changes;  // since that run
};

// What the last run told, where one is named; read before any work is done.
std::optional<Told> read_last_run(const ReviewInput& input);
// Of a record that came checked already: says on io.err what is not done for it.
void tell_unreviewed(const ReviewInput& input, Streams io);
Review review_of(const ReviewInput& input, const std::vector<Finding>& findings,
                 std::vector<FindingReview> reviews, std::vector<ReplayedDecision> decisions,
                 const std::optional<Told>& last, const Network& network);

// The names of the files below: outputs that no input may be.
const std::vector<std::string>& review_files();
// Adds decisions_replayed.csv where decisions were given, and changes.csv with a last run.
void add_review_files(OutputFolder& folder, const Review& review, const Network& network);
// How many decisions were applied, which were not and why; what is new.
void print_review(const Review& review, Streams io);

}  // namespace gaugeloom
