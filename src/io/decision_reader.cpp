#include "gaugeloom/io/decision_reader.hpp"

#include <cmath>
#include <unordered_map>

#include "gaugeloom/checks/evidence_hash.hpp"
#include "gaugeloom/io/small_table_reader.hpp"
#include "gaugeloom/time/compact_time.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/listed_gauges_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLargestShiftMinutes = 10 * 366 * 24 * 60;

class DecisionRows {
 public:
  explicit DecisionRows(const SmallTable& table)
      : gauge(table.required_column("gauge")),
        table_(table),
        id_(table.required_column("finding_id")),
        from_(table.required_column("from")),
        to_(table.column("to")),
        verdict_(table.required_column("verdict")),
        shift_(table.column("shift_minutes")),
        reason_(table.required_column("reason")),
        by_(table.required_column("by")),
        on_(table.required_column("on")),
        evidence_(table.column("evidence_hash")) {}

  // But for the row of its gauge.
  Decision decision(std::size_t row) const {
    Decision one;
    one.finding_id = table_.text(row, id_);
    one.kind = kind(row);
    one.from = table_.time(row, from_);
    one.to = to(row, one.from);
    one.verdict = verdict(row);
    one.shift_minutes = shift_minutes(row, one.verdict);
    one.reason = words(row, reason_);
    one.by = words(row, by_);
    one.on = on(row);
    one.evidence_hash = evidence(row);
    one.written = table_.position(row, one.verdict == Verdict::shift ? *shift_ : id_);
    return one;
  }

  const std::size_t gauge;

  [[noreturn]] void refuse_two(std::size_t row, const Decision& other) const {
    throw Error(ErrorCode::inconsistent_input,
                "finding " + quoted_for_message(other.finding_id) +
                    " was decided otherwise in line " + std::to_string(other.written.line) +
                    "; keep one of the two rows",
                table_.position(row, id_));
  }

 private:
  [[noreturn]] void refuse(std::size_t row, std::size_t column, const std::string& sentence,
                           ErrorCode code = ErrorCode::malformed_input) const {
    throw Error(code, sentence, table_.position(row, column));
  }

  FindingKind kind(std::size_t row) const {
    const std::string& id = table_.text(row, id_);
    const std::string gauge_and_dash = table_.text(row, gauge) + "-";
    if (!id.starts_with(gauge_and_dash))
      refuse(row, id_,
             "finding_id " + quoted_for_message(id) + " is not one of gauge " +
                 quoted_for_message(table_.at(row, gauge)) + "; copy both from findings.csv",
             ErrorCode::inconsistent_input);
    const std::string_view rest = std::string_view(id).substr(gauge_and_dash.size());
    const std::size_t dash = std::min(rest.find('-'), rest.size());
    const auto kind = parse_finding_kind(rest.substr(0, dash));
    if (!kind || !parse_compact(rest.substr(std::min(dash + 1, rest.size()))))
      refuse(row, id_, quoted_for_message(id) + " is no finding_id; copy it from findings.csv");
    return *kind;
  }

  std::optional<Instant> to(std::size_t row, Instant from) const {
    const auto to = to_ ? table_.optional_time(row, *to_) : std::nullopt;
    if (to && *to <= from)
      refuse(row, *to_,
             "the finding ends before it begins; put the later time in 'to', or leave it empty",
             ErrorCode::inconsistent_input);
    return to;
  }

  Verdict verdict(std::size_t row) const {
    const std::string& text = table_.text(row, verdict_);
    const auto verdict = parse_verdict(text);
    if (!verdict)
      refuse(row, verdict_,
             quoted_for_message(text) + " is no verdict; write accept, reject or shift");
    return *verdict;
  }

  double shift_minutes(std::size_t row, Verdict verdict) const {
    const auto minutes = shift_ ? table_.optional_number(row, *shift_) : std::nullopt;
    if (verdict == Verdict::shift && !minutes)
      refuse(row, shift_.value_or(verdict_),
             "a shift needs shift_minutes: how much later than true the rain is stamped");
    if (verdict != Verdict::shift && minutes)
      refuse(row, *shift_, "only a shift has shift_minutes; leave it empty, or write shift");
    if (minutes && (*minutes == 0 || std::abs(*minutes) > kLargestShiftMinutes))
      refuse(row, *shift_,
             "shift_minutes " + quoted_for_message(table_.at(row, *shift_)) +
                 " is out of range; write minutes other than 0, at most ten years of them");
    return minutes.value_or(0);
  }

  // Kept with the outputs for years, and opened in spreadsheets.
  std::string words(std::size_t row, std::size_t column) const {
    const std::string& text = table_.text(row, column);
    if (std::string_view("=+-@\t\r").find(text[0]) != std::string_view::npos)
      refuse(row, column,
             quoted_for_message(text) +
                 " would be run as a formula by a spreadsheet; begin it with a letter or a digit");
    return text;
  }

  std::string on(std::size_t row) const {
    const std::string& text = table_.text(row, on_);
    if (!parse_iso8601(text))
      refuse(row, on_, "on " + quoted_for_message(text) + " is no date; write it as 2021-03-04");
    return text;
  }

  std::string evidence(std::size_t row) const {
    const std::string text = evidence_ ? table_.at(row, *evidence_) : std::string();
    if (!text.empty() && !called_in_evidence(text))
      refuse(row, *evidence_,
             quoted_for_message(text) +
                 " is no evidence_hash; copy it from findings.csv, or leave it empty");
    return text;
  }

  const SmallTable& table_;
  std::size_t id_, from_;
  std::optional<std::size_t> to_;
  std::size_t verdict_;
  std::optional<std::size_t> shift_;
  std::size_t reason_, by_, on_;
  std::optional<std::size_t> evidence_;
};

std::vector<Decision> decisions_of(const SmallTable& table, const Network& network, bool strict,
                                   Notices& notices) {
  const DecisionRows rows(table);
  ListedGauges listed(network, strict);
  std::vector<Decision> decisions;
  std::unordered_map<std::string, std::size_t> at;  // by finding_id
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    Decision one = rows.decision(row);
    const auto gauge = listed.find(table, row, rows.gauge);
    if (!gauge) continue;
    one.gauge = *gauge;
    const auto [found, is_new] = at.emplace(one.finding_id, decisions.size());
    if (is_new) {
      decisions.push_back(std::move(one));
    } else if (!same_decision(decisions[found->second], one)) {
      rows.refuse_two(row, decisions[found->second]);
    }
  }
  listed.tell(table.file(), notices);
  return decisions;
}

}  // namespace

std::vector<Decision> read_decisions(const std::string& path, const Network& network, bool strict,
                                     Notices& notices) {
  return decisions_of(read_small_table(path), network, strict, notices);
}

std::vector<Decision> parse_decisions(std::string_view text, const std::string& name,
                                      const Network& network, bool strict, Notices& notices) {
  return decisions_of(parse_small_table(text, name), network, strict, notices);
}

}  // namespace gaugeloom
