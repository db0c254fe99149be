#include "gaugeloom/tips/correct_gauge.hpp"

#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/tips/bucket_in_time.hpp"

namespace gaugeloom {
namespace {

// The bucket of every tip, whatever its fate.
void add_counted(CounterTips& counter, std::span<const Gauge> rows) {
  BucketInTime bucket(rows);
  for (const Instant t : counter.tips.times)
    counter.counted_mm.push_back(static_cast<float>(bucket.mm(t)));
  counter.corrected_mm.assign(counter.tips.times.size(), 0);
}

// What the kept tips are worth: those of an inflow share it by their buckets.
void add_corrected(std::span<CounterTips> counters, const ChosenTips& chosen,
                   std::span<const Inflow> inflows) {
  std::size_t at = 0;
  std::size_t taken = 0;  // tips of inflows[at]
  for (std::size_t i = 0; i < chosen.sources.size(); ++i) {
    if (chosen.tips.fates[i] != TipFate::kept) continue;
    if (taken == inflows[at].tips) {
      ++at;
      taken = 0;
    }
    ++taken;
    CounterTips& counter = counters[chosen.sources[i].counter];
    const std::size_t tip = chosen.sources[i].tip;
    counter.corrected_mm[tip] =
        static_cast<float>(static_cast<double>(counter.counted_mm[tip]) * inflows[at].corrected_mm /
                           inflows[at].counted_mm);
  }
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

CorrectedGauge correct_gauge(GaugeTips tips, const GaugeFacts& facts, const CorrectOptions& options,
                             const ExpectedTips& expected) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  GAUGELOOM_ASSERT(!facts.rows.empty());
  CorrectedGauge corrected;
  for (TipTrain& train : tips.trains)
    corrected.counters.push_back(
        {train.counter, judge_tips(std::move(train.times), facts.visits, options.judge), {}, {}});
  corrected.inflow.correction = correction_of(facts, options);
  if (corrected.counters.empty()) return corrected;
  for (CounterTips& counter : corrected.counters) add_counted(counter, facts.rows);
  ChosenTips chosen = choose_counters(corrected.counters, expected);
  corrected.elsewhere = std::move(chosen.elsewhere);
  corrected.account = std::move(chosen.account);
  corrected.inflow = inflow_of_tips(chosen.tips, facts.rows, facts.table ? &*facts.table : nullptr,
                                    corrected.inflow.correction, options.inflow);
  if (options.apply_pours && corrected.inflow.correction != IntensityCorrection::declared) {
    const std::span<const CounterTips> usual(&corrected.counters[corrected.account.usual], 1);
    const auto checks = pour_checks(usual, facts, options.inflow.funnel_cm2);
    corrected.factors = pour_factors(checks, facts, corrected.inflow.correction, options.inflow);
    apply_factors(corrected.factors, corrected.inflow);
  }
  add_corrected(corrected.counters, chosen, corrected.inflow.inflows);
  return corrected;
}

}  // namespace gaugeloom
