#include "gaugeloom/tips/corrected_steps.hpp"

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/tips/step_depths.hpp"

namespace gaugeloom {
namespace {

using std::chrono::seconds;
constexpr double kSpoiltShare = 0.1;

std::optional<Interval> written_span(const TipRecord& record) {
  std::optional<Interval> span;  // both ends belong to it
  for (const GaugeTips& gauge : record.gauges) {
    for (const TipTrain& train : gauge.trains) {
      if (train.times.empty()) continue;
      const auto [first, last] = std::ranges::minmax(train.times);
      if (!span) span = Interval{first, last};
      *span = {std::min(span->from, first), std::max(span->to, last)};
    }
  }
  return span;
}

// Steps of the axis that one of the tips stood in, so that zeros between are measured.
std::optional<Interval> tip_span(std::span<const Inflow> inflows) {
  if (inflows.empty()) return std::nullopt;
  const Instant last = inflows.back().to;
  return Interval{inflows.front().to, inflows.back().from < last ? last : last + Duration(1)};
}

class StepRow {
 public:
  StepRow(StepTables& tables, std::size_t gauge, const StepDepths& depths)
      : tables_(tables), axis_(tables.corrected.axis()), gauge_(gauge), depths_(depths) {}

  void measure(StepAxis::Range range) {
    for (std::size_t step = range.first; step < range.last; ++step) set(step);
  }
  void set(std::size_t step) {
    tables_.counted.set(gauge_, step, static_cast<float>(depths_.counted_mm[step]));
    tables_.corrected.set(gauge_, step, static_cast<float>(depths_.corrected_mm[step]));
  }
  void clear(std::size_t step) {
    tables_.counted.set_missing(gauge_, step);
    tables_.corrected.set_missing(gauge_, step);
  }

  void clear_zeros(const Interval& outage) {
    const StepAxis::Range range = axis_.touching(outage);
    for (std::size_t step = range.first; step < range.last; ++step)
      if (depths_.counted_mm[step] == 0) clear(step);
  }

  void refuse_spoilt(const Interval& visit, std::vector<RefusedDepth>& refused) {
    const StepAxis::Range range = axis_.touching(visit);
    for (std::size_t step = range.first; step < range.last; ++step) {
      const Interval whole = axis_.interval(step);
      const Duration shared = std::min(whole.to, visit.to) - std::max(whole.from, visit.from);
      const double share =
          static_cast<double>(shared.count()) / static_cast<double>(whole.length().count());
      if (share < kSpoiltShare || !tables_.corrected.is_measured(gauge_, step)) continue;
      if (depths_.corrected_mm[step] > 0)
        refused.push_back({gauge_, step, static_cast<float>(depths_.corrected_mm[step])});
      clear(step);
    }
  }

 private:
  StepTables& tables_;
  const StepAxis& axis_;
  std::size_t gauge_;
  const StepDepths& depths_;
};

// Whether a counter tipped in a test during the visit.
bool tipped_in(const JudgedTips& tips, const Interval& visit) {
  const auto first = std::ranges::lower_bound(tips.times, visit.from) - tips.times.begin();
  const auto last = std::ranges::lower_bound(tips.times, visit.to) - tips.times.begin();
  const auto fates = tips.fates.begin();
  return std::find(fates + first, fates + last, TipFate::test) != fates + last;
}

// Visits in which something was poured or tipped.
std::vector<Interval> spoiling_visits(const CorrectedGauge& corrected, const GaugeFacts& facts) {
  std::vector<Interval> spoiling;
  for (const Pour& pour : facts.pours) spoiling.push_back(pour.over);
  for (const Interval& visit : facts.visits)
    if (std::ranges::any_of(corrected.counters, [&](const CounterTips& counter) {
          return tipped_in(counter.tips, visit);
        }))
      spoiling.push_back(visit);
  return spoiling;
}

}  // namespace

StepAxis tip_axis(const TipRecord& record, seconds step, std::chrono::minutes day_start,
                  const JudgeOptions& judge) {
  constexpr seconds kDay{86400};
  if (step < seconds{60} || step > kDay || kDay % step != seconds{0})
    throw Error(ErrorCode::invalid_option,
                "--step must be from 1min to 1d, and a day a whole number of steps");
  const auto floor_to_step = [&](Instant t) {
    const Duration since = t.time_since_epoch() - day_start;
    const Duration length(step);
    const auto steps = since.count() / length.count() - (since.count() % length.count() < 0);
    return Instant(day_start + length * steps);
  };
  std::optional<Interval> span = written_span(record);  // both ends belong to it
  if (span && judge.stamp == StampEdge::end) span->from -= Duration(1);
  if (!span && judge.from && judge.to) span = Interval{};
  if (span && judge.from) span->from = *judge.from;
  if (span && judge.to) span->to = *judge.to - Duration(1);
  if (!span || span->to < span->from) return StepAxis(Instant{} + step, step, 0);
  const Instant begin = floor_to_step(span->from);
  const auto count = (floor_to_step(span->to) - begin) / Duration(step) + 1;
  return StepAxis(begin + step, step, static_cast<std::size_t>(count));
}

std::vector<RefusedDepth> write_steps(const CorrectedGauge& corrected, const GaugeFacts& facts,
                                      const std::optional<Interval>& watched, std::size_t gauge,
                                      StepTables& tables) {
  const StepAxis& axis = tables.corrected.axis();
  const std::span<const Inflow> inflows = corrected.inflow.inflows;
  StepDepths depths = step_depths(inflows, axis);
  round_to_thousandths(depths.counted_mm);
  round_to_thousandths(depths.corrected_mm);
  StepRow row(tables, gauge, depths);
  const std::optional<Interval> alive = watched ? watched : tip_span(inflows);
  if (alive) row.measure(axis.touching(*alive));
  for (std::size_t step = 0; step < axis.count(); ++step)  // filled before the first tip
    if (depths.counted_mm[step] > 0) row.set(step);
  for (const Interval& outage : facts.outages) row.clear_zeros(outage);
  std::vector<RefusedDepth> refused;
  if (corrected.counters.empty()) return refused;
  for (const Interval& visit : spoiling_visits(corrected, facts)) row.refuse_spoilt(visit, refused);
  std::ranges::sort(refused, {}, &RefusedDepth::step);
  return refused;
}

}  // namespace gaugeloom
