#include "gaugeloom/tips/tip_hours.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/gauge_index.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kNeighbours = 8;
constexpr std::size_t kFewest = 3;
constexpr double kFarthestM = 60000;
constexpr std::uint64_t kFewestTips = 100;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

std::int64_t hour_of(Instant t) {
  return std::chrono::floor<std::chrono::hours>(t).time_since_epoch().count();
}

// Tips by hour: hours mostly come in order, so runs of them are added at once.
void add_tips(std::vector<std::pair<std::int64_t, std::uint64_t>>& hours,
              std::span<const Instant> times) {
  Instant from{};
  Instant to{};
  for (const Instant t : times) {
    if (hours.empty() || t < from || t >= to) {
      hours.emplace_back(hour_of(t), 0);
      from = Instant(std::chrono::hours(hours.back().first));
      to = from + std::chrono::hours(1);
    }
    ++hours.back().second;
  }
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
  std::map<std::int64_t, std::uint64_t> most;
  std::vector<std::pair<std::int64_t, std::uint64_t>> hours;
  for (const TipTrain& train : tips.trains) {
    hours.clear();
    add_tips(hours, train.times);
    std::ranges::sort(hours);
    for (std::size_t i = 0; i < hours.size(); ++i) {
      if (i + 1 < hours.size() && hours[i + 1].first == hours[i].first) {
        hours[i + 1].second += hours[i].second;
        continue;
      }
      std::uint64_t& held = most[hours[i].first];
      held = std::max(held, hours[i].second);
    }
  }
  GaugeHours result;
  result.wet.reserve(most.size());
  std::uint64_t sum = 0;
  for (const auto& [hour, count] : most) result.wet.push_back({hour, sum += count});
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
  const std::uint64_t own_tips = own.within(first, last);
  const std::uint64_t other_tips = other.within(first, last);
  if (own_tips < kFewestTips || other_tips < kFewestTips) return 0;
  return static_cast<double>(own_tips) / static_cast<double>(other_tips);
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
