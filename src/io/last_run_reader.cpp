#include "gaugeloom/io/last_run_reader.hpp"

#include <filesystem>
#include <set>

#include "gaugeloom/io/small_table_reader.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace fs = std::filesystem;
namespace {

constexpr const char* kFindings = "findings.csv";
constexpr const char* kReplayed = "decisions_replayed.csv";

[[noreturn]] void refuse(const SmallTable& table, std::size_t row, std::size_t column,
                         const std::string& what) {
  throw Error(ErrorCode::malformed_input,
              quoted_for_message(table.at(row, column)) + " is no " + what +
                  "; name the folder of an earlier run as it was left",
              table.position(row, column));
}

// What both files say of a finding, by the names of their columns.
class FindingRows {
 public:
  FindingRows(const SmallTable& table, const char* from, const char* to)
      : table_(table),
        id_(table.required_column("finding_id")),
        gauge_(table.required_column("gauge")),
        from_(table.required_column(from)),
        to_(table.required_column(to)),
        kind_(table.required_column("finding")),
        tier_(table.required_column("tier")) {}

  // But for its decision.
  ToldFinding finding(std::size_t row) const {
    return {table_.text(row, id_),   table_.text(row, gauge_),       kind(row), tier(row),
            table_.time(row, from_), table_.optional_time(row, to_), {}};
  }

 private:
  FindingKind kind(std::size_t row) const {
    const auto kind = parse_finding_kind(table_.at(row, kind_));
    if (!kind) refuse(table_, row, kind_, "finding");
    return *kind;
  }
  Tier tier(std::size_t row) const {
    for (const Tier tier : {Tier::provisional, Tier::confirmed})
      if (table_.at(row, tier_) == word(tier)) return tier;
    refuse(table_, row, tier_, "tier");
  }

  const SmallTable& table_;
  std::size_t id_, gauge_, from_, to_, kind_, tier_;
};

std::vector<ToldFinding> findings_in(const std::string& path) {
  const SmallTable table = read_small_table(path);
  const FindingRows rows(table, "from", "to");
  const auto decision = table.column("decision");  // not in the files of older versions
  std::vector<ToldFinding> findings;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    findings.push_back(rows.finding(row));
    if (decision) findings.back().decision = table.at(row, *decision);
  }
  return findings;
}

std::string in_short(const SmallTable& table, std::size_t row) {
  Decision decision;
  const std::size_t column = table.required_column("verdict");
  const auto verdict = parse_verdict(table.at(row, column));
  if (!verdict) refuse(table, row, column, "verdict");
  decision.verdict = *verdict;
  decision.shift_minutes =
      table.optional_number(row, table.required_column("shift_minutes")).value_or(0);
  decision.by = table.text(row, table.required_column("by"));
  decision.on = table.text(row, table.required_column("on"));
  return in_short(decision);
}

// The findings that decisions took away: those applied whose finding is not told.
std::vector<SettledFinding> settled_in(const std::string& path,
                                       const std::vector<ToldFinding>& findings) {
  std::set<std::string> still;
  for (const ToldFinding& one : findings) still.insert(one.finding_id);
  const SmallTable table = read_small_table(path);
  const FindingRows rows(table, "found_from", "found_to");
  const std::size_t id = table.required_column("finding_id");
  const std::size_t outcome = table.required_column("outcome");
  const std::size_t reason = table.required_column("reason");
  std::vector<SettledFinding> settled;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    if (table.at(row, outcome) != word(DecisionOutcome::applied)) continue;
    if (still.contains(table.at(row, id))) continue;
    settled.push_back({rows.finding(row), table.at(row, reason)});
    settled.back().finding.decision = in_short(table, row);
  }
  return settled;
}

}  // namespace

std::vector<std::string> last_run_files(const std::string& folder) {
  std::vector<std::string> files = {(fs::path(folder) / kFindings).string()};
  const std::string replayed = (fs::path(folder) / kReplayed).string();
  if (fs::exists(replayed)) files.push_back(replayed);
  return files;
}

Told read_last_run(const std::string& folder) {
  const std::vector<std::string> files = last_run_files(folder);
  Told last;
  last.findings = findings_in(files[0]);
  if (files.size() > 1) last.settled = settled_in(files[1], last.findings);
  return last;
}

}  // namespace gaugeloom
