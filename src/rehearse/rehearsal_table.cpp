#include "gaugeloom/rehearse/rehearsal_table.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kEndless = std::numeric_limits<double>::infinity();
constexpr double kShiftMinutes = 15;  // a clock is never told finer

using Outcomes = std::vector<const FaultOutcome*>;

// The smallest value with at least `share` of the sample at or below it.
double quantile(std::vector<double> sample, double share) {
  if (sample.empty()) return kNan;
  std::sort(sample.begin(), sample.end());
  const auto rank = static_cast<std::size_t>(std::ceil(share * static_cast<double>(sample.size())));
  return sample[std::max<std::size_t>(rank, 1) - 1];
}

template <typename Holds>
double share_of(const Outcomes& outcomes, Holds holds) {
  if (outcomes.empty()) return kNan;
  const auto count = std::count_if(outcomes.begin(), outcomes.end(),
                                   [&](const FaultOutcome* o) { return holds(*o); });
  return static_cast<double>(count) / static_cast<double>(outcomes.size());
}

template <typename Value>
std::vector<double> values_of(const Outcomes& outcomes, Value value) {
  std::vector<double> all;
  for (const FaultOutcome* o : outcomes) all.push_back(value(*o));
  return all;
}

double mm_or_endless(double mm) { return std::isnan(mm) ? kEndless : mm; }

// Of those that hid `mm` or more: called while less was hidden. `at_call` is NaN without a call.
template <typename AtCall>
double share_before(const Outcomes& outcomes, double mm, AtCall at_call) {
  Outcomes hid;
  for (const FaultOutcome* o : outcomes) {
    if (o->hidden_mm >= mm) hid.push_back(o);
  }
  return share_of(hid, [&](const FaultOutcome& o) { return at_call(o) < mm; });
}

double at_call(const FaultOutcome& o) { return o.hidden_at_call_mm; }
double at_dry_sum(const FaultOutcome& o) { return o.dry_sum_hidden_mm; }
double at_residual(const FaultOutcome& o) { return o.residual_hidden_mm; }

std::string most_common_call(const Outcomes& outcomes) {
  std::map<FindingKind, std::size_t> counts;
  for (const FaultOutcome* o : outcomes) {
    if (o->found) ++counts[o->kind];
  }
  const auto most =
      std::max_element(counts.begin(), counts.end(),
                       [](const auto& a, const auto& b) { return a.second < b.second; });
  return most == counts.end() ? std::string() : std::string(word(most->first));
}

void add_losses(RehearsalRow& row, const Outcomes& all, const Outcomes& telling) {
  row.before_5_mm = share_before(all, 5, at_call);
  row.before_10_mm = share_before(all, 10, at_call);
  row.dry_sum_before_10_mm = share_before(all, 10, at_dry_sum);
  row.residual_before_10_mm = share_before(all, 10, at_residual);
  const auto median = [&](auto value) {
    return quantile(
        values_of(telling, [&](const FaultOutcome& o) { return mm_or_endless(value(o)); }), 0.5);
  };
  row.dry_sum_median_mm = median(at_dry_sum);
  row.residual_median_mm = median(at_residual);
}

void add_calls(RehearsalRow& row, const Outcomes& telling, bool hides_rain) {
  const auto mm = values_of(telling, [&](const FaultOutcome& o) {
    return mm_or_endless(hides_rain ? o.hidden_at_call_mm : o.rain_at_call_mm);
  });
  row.median_mm = quantile(mm, 0.5);
  row.p90_mm = quantile(mm, 0.9);
  const auto storms = values_of(telling, [](const FaultOutcome& o) {
    return o.found ? static_cast<double>(o.storms_to_call) : kEndless;
  });
  row.median_storms = quantile(storms, 0.5);
  row.p90_storms = quantile(storms, 0.9);
  std::vector<double> errors;
  for (const FaultOutcome* o : telling) {
    if (o->found) errors.push_back(o->onset_error_mm);
  }
  row.median_onset_error_mm = quantile(std::move(errors), 0.5);
}

RehearsalRow row_of(const FaultVariant& variant, const Outcomes& all, double step_minutes) {
  Outcomes telling;
  for (const FaultOutcome* o : all) {
    if (o->is_telling()) telling.push_back(o);
  }
  RehearsalRow row;
  row.fault = word(variant.kind);
  row.size = variant.size_text();
  row.planted = all.size();
  row.telling = telling.size();
  row.found = share_of(telling, [](const FaultOutcome& o) { return o.found; });
  row.confirmed = share_of(telling, [](const FaultOutcome& o) { return o.confirmed; });
  row.named_right = share_of(telling, [](const FaultOutcome& o) { return o.named_right; });
  row.found_by_cusum = share_of(telling, [](const FaultOutcome& o) { return o.found_by_cusum; });
  row.called_as = most_common_call(telling);
  row.before_5_mm = row.before_10_mm = row.dry_sum_before_10_mm = row.residual_before_10_mm = kNan;
  row.dry_sum_median_mm = row.residual_median_mm = row.shift_right = kNan;
  add_calls(row, telling, variant.hides_rain());
  if (variant.hides_rain()) add_losses(row, all, telling);
  if (variant.kind == InjectedKind::clock_shift) {
    const double within = std::max(step_minutes, kShiftMinutes);
    row.shift_right = share_of(
        telling, [&](const FaultOutcome& o) { return std::abs(o.shift_error_minutes) <= within; });
  }
  return row;
}

}  // namespace

std::vector<RehearsalRow> rehearsal_rows(const Rehearsal& rehearsal, std::chrono::seconds step) {
  const auto variants = fault_variants();
  std::vector<Outcomes> by_variant(variants.size());
  for (const FaultOutcome& o : rehearsal.outcomes) by_variant[o.fault.variant].push_back(&o);
  std::vector<RehearsalRow> rows;
  for (std::size_t i = 0; i < variants.size(); ++i) {
    rows.push_back(row_of(variants[i], by_variant[i], static_cast<double>(step.count()) / 60));
    rows.back().neighbours = rehearsal.neighbours[i];
  }
  return rows;
}

std::vector<GaugeRehearsal> gauge_rehearsals(const Rehearsal& rehearsal) {
  std::vector<Outcomes> by_gauge(rehearsal.untouched.size());
  for (const FaultOutcome& o : rehearsal.outcomes) {
    if (fault_variants()[o.fault.variant].kind == InjectedKind::full_block) {
      by_gauge[o.fault.gauge].push_back(&o);
    }
  }
  std::vector<GaugeRehearsal> gauges;
  for (std::size_t gauge = 0; gauge < by_gauge.size(); ++gauge) {
    Outcomes telling;
    for (const FaultOutcome* o : by_gauge[gauge]) {
      if (o->is_telling()) telling.push_back(o);
    }
    GaugeRehearsal one;
    one.blocks = by_gauge[gauge].size();
    one.telling = telling.size();
    one.before_5_mm = share_before(by_gauge[gauge], 5, at_call);
    one.before_10_mm = share_before(by_gauge[gauge], 10, at_call);
    one.median_mm = quantile(
        values_of(telling, [](const FaultOutcome& o) { return mm_or_endless(at_call(o)); }), 0.5);
    one.untouched = rehearsal.untouched[gauge];
    gauges.push_back(one);
  }
  return gauges;
}

FalseCalls false_calls(const Rehearsal& rehearsal) {
  FalseCalls sum;
  for (const FalseCalls& one : rehearsal.untouched) {
    sum.any += one.any;
    sum.confirmed += one.confirmed;
    sum.gauge_years += one.gauge_years;
  }
  return sum;
}

}  // namespace gaugeloom
