#include "gaugeloom/tips/correct_gauge.hpp"

#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/tips/bucket_in_time.hpp"

namespace gaugeloom {
namespace {

constexpr double kTwiceFrom = 1.8;  // our choice: what counts twice misses a few of its seconds
constexpr double kTwiceTo = 2.2;
constexpr double kFewestTwice = 20;  // tips of the other, for the ratio to mean anything

std::size_t kept_count(const CounterTips& counter) {
  return counter.tips.counts()[static_cast<std::size_t>(TipFate::kept)];
}

// Whether `tips` are those of a counter that counts every turn twice, beside `other`.
bool counts_twice(double tips, double other) {
  return other >= kFewestTwice && tips >= kTwiceFrom * other && tips <= kTwiceTo * other;
}

std::size_t used_counter(std::span<const CounterTips> counters) {
  std::size_t used = 0;
  for (std::size_t i = 1; i < counters.size(); ++i) {
    const auto best = static_cast<double>(kept_count(counters[used]));
    const auto other = static_cast<double>(kept_count(counters[i]));
    const bool best_twice = counts_twice(best, other);
    if (best_twice || (other > best && !counts_twice(other, best))) used = i;
  }
  return used;
}

// Depths of every tip; those of the used counter after `inflow`, whose tips come in the same order.
void add_depths(CounterTips& counter, std::span<const Inflow> inflows,
                std::span<const Gauge> rows) {
  const std::size_t count = counter.tips.times.size();
  counter.counted_mm.resize(count);
  counter.corrected_mm.assign(count, 0);
  BucketInTime bucket(rows);
  std::size_t at = 0;
  std::size_t taken = 0;  // tips of inflows[at]
  for (std::size_t i = 0; i < count; ++i) {
    const double counted_mm = bucket.mm(counter.tips.times[i]);
    counter.counted_mm[i] = static_cast<float>(counted_mm);
    if (counter.tips.fates[i] != TipFate::kept) continue;
    if (taken == inflows[at].tips) {
      ++at;
      taken = 0;
    }
    ++taken;
    counter.corrected_mm[i] =
        static_cast<float>(counted_mm * inflows[at].corrected_mm / inflows[at].counted_mm);
  }
}

void set_aside(JudgedTips& tips) {
  for (TipFate& fate : tips.fates)
    if (fate == TipFate::kept) fate = TipFate::other_counter;
}

}  // namespace

std::optional<std::string> CorrectOptions::problem() const {
  if (const auto problem = judge.problem()) return problem;
  return inflow.problem();
}

IntensityCorrection correction_of(const GaugeFacts& facts, const CorrectOptions& options) {
  if (facts.declared_corrected) return IntensityCorrection::declared;
  if (!options.correct_intensity) return IntensityCorrection::none;
  if (facts.table) return IntensityCorrection::table;
  return has_bursts(facts.rows.back(), options.inflow) ? IntensityCorrection::none
                                                       : IntensityCorrection::tip_loss;
}

CorrectedGauge correct_gauge(GaugeTips tips, const GaugeFacts& facts,
                             const CorrectOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  GAUGELOOM_ASSERT(!facts.rows.empty());
  CorrectedGauge corrected;
  for (TipTrain& train : tips.trains)
    corrected.counters.push_back(
        {train.counter, judge_tips(std::move(train.times), facts.visits, options.judge), {}, {}});
  corrected.inflow.correction = correction_of(facts, options);
  if (corrected.counters.empty()) return corrected;
  corrected.used = used_counter(corrected.counters);
  for (std::size_t i = 0; i < corrected.counters.size(); ++i)
    if (i != corrected.used) set_aside(corrected.counters[i].tips);
  corrected.inflow = inflow_of_tips(corrected.counters[corrected.used].tips, facts.rows,
                                    facts.table ? &*facts.table : nullptr,
                                    corrected.inflow.correction, options.inflow);
  for (CounterTips& counter : corrected.counters)
    add_depths(counter, corrected.inflow.inflows, facts.rows);
  return corrected;
}

}  // namespace gaugeloom
