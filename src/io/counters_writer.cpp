#include "gaugeloom/io/counters_writer.hpp"

#include <fmt/format.h>

#include <cmath>

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::string_view what(const CounterRow& row) {
  switch (row.kind) {
    case CounterRowKind::month:
      return "month";
    case CounterRowKind::spell:
      return word(row.verdict->why);
    case CounterRowKind::clock_set:
      return "clock_set";
    case CounterRowKind::set_back:
      return "set_back";
  }
  return {};
}

std::string month_meaning(const CounterRow& row) {
  switch (finding_of(row)) {
    case CounterFinding::agree:
      return row.tips_usual + row.tips_other == 0 ? "neither counted" : "both agree";
    case CounterFinding::differ:
      return "they differ: look at electronics and telemetry";
    case CounterFinding::both_low:
      return "both agree, on less than half of what the neighbours had: look at funnel and bucket";
    case CounterFinding::both_high:
      return "both agree, on more than twice what the neighbours had: look at funnel and bucket";
  }
  return {};
}

std::string spell_meaning(const CounterRow& row, const std::string& believed,
                          const std::string& doubted) {
  switch (row.verdict->why) {
    case CounterReason::dead_link:
      return fmt::format("{} was silent while {} tipped on: its electronics or telemetry", doubted,
                         believed);
    case CounterReason::counts_twice:
      return fmt::format("{} counts every turn twice: its contact or electronics", doubted);
    case CounterReason::neighbours:
      return fmt::format("the neighbours are nearer to {}: electronics or telemetry of {}",
                         believed, doubted);
    case CounterReason::undecided:
      return "nothing tells which is right, so the usual one: electronics or telemetry of one";
    case CounterReason::agree:
      break;
  }
  return {};
}

// What a counter is called in a sentence.
std::string called(std::span<const std::string> counters, std::uint8_t counter) {
  return counters[counter].empty() ? "the unnamed one" : counters[counter];
}

class CounterTable {
 public:
  CounterTable(AtomicFile& file, std::span<const std::string> counters)
      : csv_(file, {"gauge", "what", "from", "to", "usual", "other", "believed", "tips_usual",
                    "tips_other", "matched", "match_rate", "expected_tips", "clock_s", "meaning"}),
        counters_(counters) {}

  void add(const std::string& gauge, const CounterRow& row) {
    CsvRows& out = csv_.row();
    out.text(gauge)
        .raw(what(row))
        .raw(format_utc(std::chrono::floor<std::chrono::seconds>(row.over.from)))
        .raw(format_utc(std::chrono::ceil<std::chrono::seconds>(row.over.to)))
        .text(counters_[row.usual]);
    if (row.other)
      out.text(counters_[*row.other]);
    else
      out.empty();
    if (row.verdict)
      out.text(counters_[row.verdict->other ? *row.other : row.usual]);
    else
      out.empty();
    add_counts(row, out);
    if (row.ahead)
      out.fixed(1e-6 * static_cast<double>(row.ahead->count()), 1);
    else
      out.empty();
    out.text(meaning(row)).end_row();
  }
  void finish() { csv_.finish(); }

 private:
  static void add_counts(const CounterRow& row, CsvRows& out) {
    if (row.kind == CounterRowKind::clock_set) {
      for (int field = 0; field < 5; ++field) out.empty();
      return;
    }
    out.integer(static_cast<long long>(row.tips_usual));
    if (row.kind == CounterRowKind::set_back) {
      for (int field = 0; field < 4; ++field) out.empty();
      return;
    }
    out.integer(static_cast<long long>(row.tips_other))
        .integer(static_cast<long long>(row.both))
        .fixed(row.match_rate(), 3)
        .fixed(row.expected_tips, 0);
  }

  std::string meaning(const CounterRow& row) const {
    const std::string usual = called(counters_, row.usual);
    if (row.kind == CounterRowKind::month) return month_meaning(row);
    if (row.kind == CounterRowKind::set_back)
      return fmt::format(
          "tips of {} stand after later ones: its clock was set back, or files are "
          "out of order",
          usual);
    const std::string other = called(counters_, *row.other);
    if (row.kind == CounterRowKind::clock_set)
      return fmt::format("the clock of {} or {} was set", other, usual);
    return row.verdict->other ? spell_meaning(row, other, usual) : spell_meaning(row, usual, other);
  }

  CsvWriter csv_;
  std::span<const std::string> counters_;
};

}  // namespace

void write_counters(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network,
                    std::span<const std::string> counters) {
  CounterTable table(file, counters);
  for (std::size_t g = 0; g < network.size(); ++g)
    for (const CounterRow& row : corrected.counters[g]) table.add(network.gauges[g].id, row);
  table.finish();
}

}  // namespace gaugeloom
