#include "gaugeloom/io/site_visit_reader.hpp"

#include "gaugeloom/io/small_table_reader.hpp"
#include "io/listed_gauges_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

class VisitRows {
 public:
  explicit VisitRows(const SmallTable& table)
      : table_(table),
        from_(table.required_column("from")),
        to_(table.required_column("to")),
        action_(table.required_column("action")),
        poured_(table.column("poured_ml")),
        note_(table.column("note")) {}

  SiteVisit visit(std::size_t row) const {
    SiteVisit visit;
    visit.over = over(row);
    visit.action = action(row);
    visit.poured_ml = poured_ml(row);
    if (note_) visit.note = table_.at(row, *note_);
    return visit;
  }

 private:
  Interval over(std::size_t row) const {
    const auto to = table_.optional_time(row, to_);
    if (!to)
      throw Error(ErrorCode::malformed_input, "a visit has an end; fill in 'to'",
                  table_.position(row, to_));
    const Interval over{table_.time(row, from_), *to};
    if (over.to <= over.from)
      throw Error(ErrorCode::inconsistent_input,
                  "the visit ends before it begins; put the later time in 'to'",
                  table_.position(row, to_));
    return over;
  }

  VisitAction action(std::size_t row) const {
    const std::string& text = table_.text(row, action_);
    const auto action = parse_visit_action(text);
    if (!action)
      throw Error(ErrorCode::malformed_input,
                  quoted_for_message(text) +
                      " is no action; write cleaned, calibrated, repaired or inspected",
                  table_.position(row, action_));
    return *action;
  }

  double poured_ml(std::size_t row) const {
    const double poured = poured_ ? table_.optional_number(row, *poured_).value_or(0) : 0;
    if (poured < 0)
      throw Error(ErrorCode::malformed_input,
                  "less than nothing cannot be poured; correct it, or leave it empty",
                  table_.position(row, *poured_));
    return poured;
  }

  const SmallTable& table_;
  std::size_t from_, to_, action_;
  std::optional<std::size_t> poured_, note_;
};

}  // namespace

std::vector<SiteVisit> read_site_visits(const std::string& path, const Network& network,
                                        bool strict, Notices& notices) {
  const SmallTable table = read_small_table(path);
  const std::size_t gauge = table.required_column("gauge");
  const VisitRows rows(table);
  ListedGauges listed(network, strict);
  std::vector<SiteVisit> visits;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    SiteVisit visit = rows.visit(row);
    const auto found = listed.find(table, row, gauge);
    if (!found) continue;
    visit.gauge = *found;
    visits.push_back(std::move(visit));
  }
  listed.tell(path, notices);
  return visits;
}

}  // namespace gaugeloom
