#include "gaugeloom/tips/tip_hours.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/gauge_index.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kNeighbours = 8;
constexpr std::size_t kFewest = 3;
constexpr double kFarthestM = 60000;
constexpr std::uint64_t kFewestTips = 100;
constexpr std::int64_t kMonthHours = 30 * 24;
constexpr std::uint64_t kFewestOfMonth = 20;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

std::int64_t hour_of(Instant t) {
  return std::chrono::floor<std::chrono::hours>(t).time_since_epoch().count();
}

struct TipsOfHour {
  std::int64_t hour;
  std::size_t train;
  std::uint64_t tips;
};

// Hours mostly come in order, so runs of tips are added at once.
void add_tips(std::vector<TipsOfHour>& hours, std::size_t train, std::span<const Instant> times) {
  Instant from{};
  Instant to{};
  for (const Instant t : times) {
    if (t < from || t >= to) {
      hours.push_back({hour_of(t), train, 0});
      from = Instant(std::chrono::hours(hours.back().hour));
      to = from + std::chrono::hours(1);
    }
    ++hours.back().tips;
  }
}

// Of each day the hours of the train that has most tips in it.
void leave_fullest(std::vector<TipsOfHour>& hours) {
  std::map<std::pair<std::int64_t, std::size_t>, std::uint64_t> tips;  // by day and train
  for (const TipsOfHour& hour : hours) tips[{hour.hour / 24, hour.train}] += hour.tips;
  std::map<std::int64_t, std::pair<std::uint64_t, std::size_t>> fullest;
  for (const auto& [key, count] : tips) {
    auto& held = fullest[key.first];
    if (count > held.first) held = {count, key.second};
  }
  std::erase_if(
      hours, [&](const TipsOfHour& hour) { return fullest[hour.hour / 24].second != hour.train; });
}

double median(std::vector<double>& values) {
  std::ranges::sort(values);
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

}  // namespace

std::uint64_t TipHours::GaugeHours::through(std::int64_t hour) const {
  const auto next = std::ranges::upper_bound(wet, hour, {}, &Hour::hour);
  return next == wet.begin() ? 0 : std::prev(next)->tips_until;
}

std::uint64_t TipHours::GaugeHours::within(std::int64_t first, std::int64_t last) const {
  return last < first ? 0 : through(last) - through(first - 1);
}

TipHours::GaugeHours TipHours::hours_of(const GaugeTips& tips) {
  std::vector<TipsOfHour> hours;
  for (std::size_t train = 0; train < tips.trains.size(); ++train)
    add_tips(hours, train, tips.trains[train].times);
  if (tips.trains.size() > 1) leave_fullest(hours);
  std::ranges::sort(hours, {}, &TipsOfHour::hour);
  GaugeHours result;
  std::uint64_t sum = 0;
  for (const TipsOfHour& hour : hours) {
    sum += hour.tips;
    if (!result.wet.empty() && result.wet.back().hour == hour.hour)
      result.wet.back().tips_until = sum;
    else
      result.wet.push_back({hour.hour, sum});
  }
  return result;
}

TipHours::TipHours(const TipRecord& record, std::span<const GaugeFacts> facts, int threads)
    : facts_(facts), gauges_(record.gauges.size()), beside_(record.gauges.size()) {
  parallel_for(gauges_.size(), threads,
               [&](std::size_t g) { gauges_[g] = hours_of(record.gauges[g]); });
  std::vector<MetricPoint> positions;
  for (const GaugeFacts& gauge : facts) positions.push_back(gauge.rows.back().position);
  const GaugeIndex index(positions);
  parallel_for(gauges_.size(), threads, [&](std::size_t g) {
    if (record.gauges[g].trains.size() < 2) return;
    for (const Neighbour& near : index.nearest(positions[g], kNeighbours + 1)) {
      if (near.index == g || near.distance_m > kFarthestM) continue;
      const double ratio = usual_ratio(gauges_[g], gauges_[near.index]);
      if (ratio > 0) beside_[g].push_back({near.index, ratio});
    }
  });
}

double TipHours::usual_ratio(const GaugeHours& own, const GaugeHours& other) const {
  if (own.wet.empty() || other.wet.empty()) return 0;
  const std::int64_t first = std::max(own.wet.front().hour, other.wet.front().hour);
  const std::int64_t last = std::min(own.wet.back().hour, other.wet.back().hour);
  if (own.within(first, last) < kFewestTips || other.within(first, last) < kFewestTips) return 0;
  std::vector<double> ratios;
  for (std::int64_t from = first; from <= last; from += kMonthHours) {
    const std::uint64_t own_tips = own.within(from, std::min(last, from + kMonthHours - 1));
    const std::uint64_t other_tips = other.within(from, std::min(last, from + kMonthHours - 1));
    if (own_tips >= kFewestOfMonth && other_tips >= kFewestOfMonth)
      ratios.push_back(static_cast<double>(own_tips) / static_cast<double>(other_tips));
  }
  return ratios.empty() ? 0 : median(ratios);
}

double TipHours::expected_tips(std::size_t gauge, const Interval& over) const {
  const std::int64_t first = hour_of(over.from);
  const std::int64_t last = hour_of(over.to);
  std::vector<double> tips;
  for (const Beside& beside : beside_[gauge]) {
    const GaugeHours& other = gauges_[beside.gauge];
    const auto dead = [&](const Interval& outage) { return outage.overlaps(over); };
    if (first < other.wet.front().hour || last > other.wet.back().hour ||
        std::ranges::any_of(facts_[beside.gauge].outages, dead))
      continue;
    tips.push_back(beside.ratio * static_cast<double>(other.within(first, last)));
  }
  return tips.size() < kFewest ? kNaN : median(tips);
}

}  // namespace gaugeloom
