#include "gaugeloom/tips/correct_network.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/tips/corrected_steps.hpp"
#include "gaugeloom/tips/tip_hours.hpp"

namespace gaugeloom {
namespace {

std::optional<Interval> asked_span(const JudgeOptions& judge) {
  if (judge.from && judge.to) return Interval{*judge.from, *judge.to};
  return std::nullopt;
}

bool has_several(const GaugeTips& gauge) { return gauge.trains.size() > 1; }

GaugeTotals totals_of(const CorrectedGauge& gauge) {
  GaugeTotals totals;
  totals.correction = gauge.inflow.correction;
  totals.held = gauge.inflow.held;
  totals.beyond_table = gauge.inflow.beyond_table;
  for (const CounterTips& counter : gauge.counters) {
    const auto counts = counter.tips.counts();
    for (std::size_t fate = 0; fate < kTipFates; ++fate) totals.tips[fate] += counts[fate];
    totals.back += counter.tips.back;
    totals.farthest_back = std::max(totals.farthest_back, counter.tips.farthest_back);
    for (const StampRun& run : counter.tips.runs) {
      if (run.resolution == std::chrono::seconds{1}) totals.to_the_second += run.last - run.first;
      if (run.resolution == std::chrono::seconds{60}) totals.to_the_minute += run.last - run.first;
    }
  }
  for (const CounterSpell& spell : gauge.account.spells)
    totals.spells_differ += spell.verdict.why == CounterReason::agree ? 0 : 1;
  totals.clocks_set = gauge.account.sets.size();
  for (const Inflow& inflow : gauge.inflow.inflows) {
    totals.counted_mm += inflow.counted_mm;
    totals.corrected_mm += inflow.corrected_mm;
  }
  return totals;
}

// Steps taken from another counter than usual say so.
void mark_elsewhere(SeriesRecord& series, std::span<const std::vector<Interval>> elsewhere) {
  for (std::size_t g = 0; g < elsewhere.size(); ++g)
    for (const Interval& spell : elsewhere[g]) {
      const StepAxis::Range range = series.depth.axis().touching(spell);
      for (std::size_t step = range.first; step < range.last; ++step)
        if (series.depth.is_measured(g, step))
          series.origin[series.index(g, step)] = Origin::other_counter;
    }
}

StepTables make_tables(const StepAxis& axis, std::size_t gauges) {
  constexpr double kBytesPerValue = 12;  // two floats, two bits, quality, origin; and some room
  const double bytes =
      kBytesPerValue * static_cast<double>(axis.count()) * static_cast<double>(gauges);
  if (bytes > bulk_room())
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("the tips reach from {} to {}, which makes {} steps of {} for {} "
                            "gauges, more than fit; correct times that are wrong, or give --from "
                            "and --to, or a longer --step",
                            format_utc(axis.span().from), format_utc(axis.span().to), axis.count(),
                            format_duration(axis.step()), gauges));
  return {RainTable(axis, gauges), RainTable(axis, gauges)};
}

}  // namespace

std::optional<std::string> CorrectNetworkOptions::problem() const {
  if (watched && !asked_span(correct.judge)) return "--watched needs --from and --to";
  if (threads < 0) return "--threads must be 0 or more";
  return correct.problem();
}

std::size_t GaugeTotals::all_tips() const {
  return std::accumulate(tips.begin(), tips.end(), std::size_t{0});
}

CorrectedNetwork correct_network(
    TipRecord record, std::span<const GaugeFacts> facts, const CorrectNetworkOptions& options,
    const std::function<void(std::size_t, std::span<const CorrectedGauge>)>& take) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const std::size_t gauges = record.gauges.size();
  GAUGELOOM_ASSERT(facts.size() == gauges);
  const JudgeOptions& judge = options.correct.judge;
  const std::optional<Interval> asked = asked_span(judge);
  StepTables tables = make_tables(tip_axis(record, options.step, options.day_start, judge), gauges);
  CorrectedNetwork network;
  network.gauges.resize(gauges);
  network.months.resize(gauges);
  network.storms.resize(gauges);
  network.factors.resize(gauges);
  network.counters.resize(gauges);
  std::optional<TipHours> hours;
  if (std::ranges::any_of(record.gauges, has_several))
    hours.emplace(record, facts, options.threads);
  std::vector<RefusedDepth> refused;
  std::vector<std::vector<Interval>> elsewhere(gauges);
  const auto at_once = 2 * static_cast<std::size_t>(thread_count(options.threads));
  for (std::size_t first = 0; first < gauges; first += at_once) {
    std::vector<CorrectedGauge> few(std::min(at_once, gauges - first));
    std::vector<std::vector<RefusedDepth>> refused_of(few.size());
    std::vector<std::vector<PourCheck>> pours_of(few.size());
    parallel_for(few.size(), options.threads, [&](std::size_t i) {
      const std::size_t g = first + i;
      ExpectedTips expected;
      if (hours && has_several(record.gauges[g]))
        expected = [&hours, g](const Interval& over) { return hours->expected_tips(g, over); };
      few[i] = correct_gauge(std::move(record.gauges[g]), facts[g], options.correct, expected);
      refused_of[i] =
          write_steps(few[i], facts[g], options.watched ? asked : std::nullopt, g, tables);
      network.gauges[g] = totals_of(few[i]);
      elsewhere[g] = few[i].elsewhere;
      network.months[g] = tip_months(few[i]);
      network.counters[g] = counter_rows(few[i], network.months[g], expected);
      network.factors[g] = few[i].factors;
      network.storms[g] = storm_peaks(few[i].inflow.inflows);
      pours_of[i] = pour_checks(few[i].counters, facts[g], options.correct.inflow.funnel_cm2);
      for (PourCheck& pour : pours_of[i]) pour.gauge = g;
    });
    for (const auto& one : refused_of) refused.insert(refused.end(), one.begin(), one.end());
    for (const auto& one : pours_of)
      network.pours.insert(network.pours.end(), one.begin(), one.end());
    take(first, few);
  }
  network.series = unchecked_record(std::move(tables.counted));
  network.series.depth = std::move(tables.corrected);
  network.series.refused = std::move(refused);
  mark_elsewhere(network.series, elsewhere);
  return network;
}

}  // namespace gaugeloom
