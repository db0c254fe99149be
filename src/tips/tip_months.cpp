#include "gaugeloom/tips/tip_months.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

namespace gaugeloom {
namespace {

// Months by time; times mostly rise, so the last one is asked for first.
class Months {
 public:
  TipMonth& at(Instant t) {
    if (current_ == nullptr || t < from_ || t >= to_) turn_to(t);
    return *current_;
  }
  std::vector<TipMonth> finish() const {
    std::vector<TipMonth> all;
    for (const auto& [month, held] : months_) all.push_back(held);
    return all;
  }

 private:
  void turn_to(Instant t) {
    const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(t)};
    const std::chrono::year_month month = day.year() / day.month();
    from_ = std::chrono::sys_days{month / 1};
    to_ = std::chrono::sys_days{(month + std::chrono::months(1)) / 1};
    current_ = &months_[month];
    current_->month = month;
  }

  std::map<std::chrono::year_month, TipMonth> months_;
  TipMonth* current_ = nullptr;
  Instant from_{};
  Instant to_{};
};

std::size_t class_of(double rate_mm_h) {
  const auto above = std::ranges::upper_bound(kIntensityClassesMmH, rate_mm_h);
  return static_cast<std::size_t>(above - kIntensityClassesMmH.begin());
}

void compare(const CounterTips& counter, bool usual, Months& months) {
  for (std::size_t i = 0; i < counter.tips.stamps.size(); ++i) {
    TipMonth& month = months.at(counter.tips.stamps[i]);
    month.compared = true;
    const TipFate fate = counter.tips.fates[i];
    if (fate != TipFate::kept && fate != TipFate::other_counter) continue;
    if (!counter.partnered[i])
      ++(usual ? month.only_usual : month.only_other);
    else if (usual)
      ++month.matched;
  }
}

}  // namespace

double TipMonth::match_rate() const {
  const std::size_t turns = matched + only_usual + only_other;
  return turns == 0 ? std::numeric_limits<double>::quiet_NaN()
                    : static_cast<double>(matched) / static_cast<double>(turns);
}

std::size_t TipMonth::all_tips() const {
  return std::accumulate(tips.begin(), tips.end(), std::size_t{0});
}

std::vector<TipMonth> tip_months(const CorrectedGauge& gauge) {
  Months months;
  for (const CounterTips& counter : gauge.counters)
    for (std::size_t i = 0; i < counter.tips.stamps.size(); ++i)
      ++months.at(counter.tips.stamps[i]).tips[static_cast<std::size_t>(counter.tips.fates[i])];
  if (gauge.counters.size() > 1)
    for (std::size_t c = 0; c < gauge.counters.size(); ++c)
      compare(gauge.counters[c], c == gauge.account.usual, months);
  for (const Inflow& inflow : gauge.inflow.inflows) {
    TipMonth& month = months.at(inflow.to);
    month.counted_mm += inflow.counted_mm;
    month.corrected_mm += inflow.corrected_mm;
    month.by_pours_mm += inflow.by_pours_mm;
    if (!std::isnan(inflow.rate_mm_h))
      month.share[class_of(inflow.rate_mm_h)] += inflow.corrected_mm;
  }
  std::vector<TipMonth> all = months.finish();
  for (TipMonth& month : all) {
    const double known = std::accumulate(month.share.begin(), month.share.end(), 0.0);
    if (known > 0)
      for (double& share : month.share) share /= known;
  }
  return all;
}

}  // namespace gaugeloom
