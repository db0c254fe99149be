#include "review_job.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>

#include "gaugeloom/io/changes_writer.hpp"
#include "gaugeloom/io/decisions_replayed_writer.hpp"
#include "gaugeloom/io/last_run_reader.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kChangesShown = 40;

// "2 new, 1 ended": how many of each, in the order of the words.
template <typename Word, std::size_t kCount, typename Row, typename WordOf>
std::string counts(const std::vector<Row>& rows, WordOf word_of) {
  std::array<std::size_t, kCount> of{};
  for (const Row& row : rows) ++of[static_cast<std::size_t>(word_of(row))];
  std::string text;
  for (std::size_t i = 0; i < kCount; ++i) {
    if (of[i] == 0) continue;
    std::string name(word(static_cast<Word>(i)));
    std::ranges::replace(name, '_', ' ');
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", of[i], name);
  }
  return text;
}

void print_decisions(const Review& review, Streams io) {
  const std::string outcomes = counts<DecisionOutcome, 3>(
      review.decisions, [](const ReplayedDecision& one) { return one.outcome; });
  io.out << fmt::format("decisions: {}{}\n", review.decisions.size(),
                        outcomes.empty() ? "" : " (" + outcomes + ")");
  for (const ReplayedDecision& one : review.decisions)
    if (one.outcome != DecisionOutcome::applied)
      io.out << fmt::format("  not applied: {}. {}\n", one.decision.finding_id, one.why);
}

void print_changes(const Review& review, Streams io) {
  const std::string changes =
      counts<Change, 9>(review.changes, [](const FindingChange& one) { return one.change; });
  io.out << fmt::format("since the last run: {}\n", changes.empty() ? "nothing is new" : changes);
  for (std::size_t i = 0; i < std::min(kChangesShown, review.changes.size()); ++i)
    io.out << fmt::format("  {}. {}\n", review.changes[i].finding_id, review.changes[i].sentence);
  if (review.changes.size() > kChangesShown)
    io.out << fmt::format("  and {} more in changes.csv\n", review.changes.size() - kChangesShown);
}

}  // namespace

void ReviewInput::declare_decisions(OptionList& options) {
  options.path("decisions", "FILE", decisions,
               "CSV finding_id,gauge,from,to,verdict,shift_minutes,reason,by,on,evidence_hash of "
               "what a reviewer decided about findings (verdict: accept, reject, shift), replayed "
               "where the data behind them are the same.");
}

void ReviewInput::declare_last_run(OptionList& options) {
  options.path("last-run", "FOLDER", last_run,
               "The output folder of an earlier run: changes.csv then says what is new.");
}

std::optional<Told> read_last_run(const ReviewInput& input) {
  if (input.last_run.empty()) return std::nullopt;
  return read_last_run(input.last_run);
}

void tell_unreviewed(const ReviewInput& input, Streams io) {
  Notices notices;
  if (!input.decisions.empty())
    notices.push_back(
        fmt::format("the input is checked already: the decisions of {} were not "
                    "replayed",
                    input.decisions));
  if (!input.last_run.empty())
    notices.push_back(
        fmt::format("the input is checked already: it was not held against {}", input.last_run));
  print_notices(notices, io);
}

Review review_of(const ReviewInput& input, const std::vector<Finding>& findings,
                 std::vector<FindingReview> reviews, std::vector<ReplayedDecision> decisions,
                 const std::optional<Told>& last, const Network& network) {
  Review review{
      std::move(reviews), !input.decisions.empty(), std::move(decisions), last.has_value(), {}};
  if (last)
    review.changes =
        finding_changes(*last, told(findings, review.findings, review.decisions, network));
  return review;
}

const std::vector<std::string>& review_files() {
  static const std::vector<std::string> names = {"decisions_replayed.csv", "changes.csv"};
  return names;
}

void add_review_files(OutputFolder& folder, const Review& review, const Network& network) {
  if (review.has_decisions)
    write_decisions_replayed(folder.file("decisions_replayed.csv"), review.decisions, network);
  if (review.has_last_run) write_changes(folder.file("changes.csv"), review.changes);
}

void print_review(const Review& review, Streams io) {
  if (review.has_decisions) print_decisions(review, io);
  if (review.has_last_run) print_changes(review, io);
}

}  // namespace gaugeloom
