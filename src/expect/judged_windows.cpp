#include "gaugeloom/expect/judged_windows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/half_year.hpp"
#include "gaugeloom/rain/storm_spells.hpp"

namespace gaugeloom {
namespace {

using std::chrono::hours;

// Steps with the same number belong to the same window; numbers never fall.
template <typename Number>
std::vector<StepAxis::Range> runs(const StepAxis& axis, const Number& number) {
  std::vector<StepAxis::Range> windows;
  for (std::size_t step = 0; step < axis.count(); ++step) {
    if (step == 0 || number(axis.begin(step)) != number(axis.begin(step - 1)))
      windows.push_back({step, step});
    windows.back().last = step + 1;
  }
  return windows;
}

std::vector<StepAxis::Range> multiples(const StepAxis& axis, std::chrono::seconds length) {
  if (axis.step() > length) return {};
  return runs(axis, [&](Instant t) {
    const Duration rest = t.time_since_epoch() % length;
    return t - rest - (rest < Duration::zero() ? Duration(length) : Duration::zero());
  });
}

std::vector<StepAxis::Range> storms(const RainTable& table) {
  std::vector<StepAxis::Range> windows;
  if (table.axis().step() > hours(6)) return windows;
  for (const StormSpell& storm : storm_spells(table)) windows.push_back(storm.steps);
  return windows;
}

std::vector<StepAxis::Range> months(const StepAxis& axis) {
  if (axis.step() > hours(24)) return {};
  return runs(axis, [](Instant t) {
    const std::chrono::year_month_day day(std::chrono::floor<std::chrono::days>(t));
    return static_cast<int>(day.year()) * 12 + static_cast<int>(static_cast<unsigned>(day.month()));
  });
}

}  // namespace

std::string_view word(WindowKind kind) {
  constexpr std::array<std::string_view, kWindowKinds.size()> words = {"step", "1h",    "6h",
                                                                       "24h",  "storm", "month"};
  return words[static_cast<std::size_t>(kind)];
}

std::vector<StepAxis::Range> windows_of(WindowKind kind, const RainTable& table) {
  switch (kind) {
    case WindowKind::step:
      return multiples(table.axis(), table.axis().step());
    case WindowKind::hour:
      return multiples(table.axis(), hours(1));
    case WindowKind::six_hours:
      return multiples(table.axis(), hours(6));
    case WindowKind::day:
      return multiples(table.axis(), hours(24));
    case WindowKind::storm:
      return storms(table);
    case WindowKind::month:
      return months(table.axis());
  }
  return {};
}

JudgedWindows::JudgedWindows(const WindowGround& ground, std::vector<StepAxis::Range> windows)
    : ground_(ground), windows_(std::move(windows)) {
  GAUGELOOM_ASSERT(ground.depths.gauge_count() == gauges() && ground.site_ratio.size() == gauges());
  GAUGELOOM_ASSERT(ground.expected.steps == ground.depths.step_count());
  GAUGELOOM_ASSERT(ground.excluded.steps == ground.depths.step_count());
  if (windows_.size() == ground.depths.step_count()) return;
  totals_.reserve(gauges() * windows_.size());
  for (std::size_t gauge = 0; gauge < gauges(); ++gauge)
    for (std::size_t w = 0; w < windows_.size(); ++w) totals_.push_back(total_of(gauge, w));
}

JudgedWindows::Total JudgedWindows::total_of(std::size_t gauge, std::size_t window) const {
  const auto [first, last] = windows_[window];
  Total total{0, true};
  std::size_t measured = 0;
  double sum = 0;
  for (std::size_t step = first; step < last; ++step) {
    if (ground_.excluded.at(gauge, step)) total.accepted = false;
    if (!ground_.depths.is_measured(gauge, step)) continue;
    sum += double{ground_.depths.depth_mm(gauge, step)};
    ++measured;
  }
  const double share = static_cast<double>(measured) / static_cast<double>(last - first);
  total.depth_mm = share >= kLeastWindowShare ? static_cast<float>(sum / share)
                                              : std::numeric_limits<float>::quiet_NaN();
  return total;
}

Interval JudgedWindows::over(std::size_t window) const {
  return {ground_.depths.axis().begin(windows_[window].first),
          ground_.depths.axis().end(windows_[window].last - 1)};
}

JudgedWindow JudgedWindows::at(std::size_t gauge, std::size_t window) const {
  const auto [first, last] = windows_[window];
  JudgedWindow out;
  std::size_t usable = 0;
  for (std::size_t step = first; step < last; ++step) {
    const float depth = ground_.depths.depth_mm(gauge, step);
    const float guess = ground_.expected.depth_at(gauge, step);
    if (std::isnan(depth) || std::isnan(guess)) continue;
    out.observed_mm += double{depth};
    out.expected_mm += double{guess};
    ++usable;
  }
  out.usable_share = static_cast<double>(usable) / static_cast<double>(last - first);
  out.accepted = total(gauge, window).accepted;
  out.half_year = half_year(ground_.depths.axis().begin(first + (last - first) / 2));
  add_neighbours(gauge, window, out);
  return out;
}

double JudgedWindows::mean_observed_mm(std::size_t window) const {
  std::vector<double> totals;
  for (std::size_t gauge = 0; gauge < gauges(); ++gauge) {
    const Total t = total(gauge, window);
    if (!std::isnan(t.depth_mm)) totals.push_back(double{t.depth_mm});
  }
  // Sorted, so that the order of the gauges does not matter.
  std::sort(totals.begin(), totals.end());
  const double sum = std::accumulate(totals.begin(), totals.end(), 0.0);
  return totals.empty() ? 0 : sum / static_cast<double>(totals.size());
}

void JudgedWindows::add_neighbours(std::size_t gauge, std::size_t window, JudgedWindow& out) const {
  struct Spoken {
    double weight;
    double depth_mm;
    bool accepted;
  };
  std::array<Spoken, 64> spoken;
  std::size_t count = 0;
  std::size_t accepted = 0;
  for (const NearbyGauge& n : ground_.around.of[gauge]) {
    const Total t = total(n.gauge, window);
    if (std::isnan(t.depth_mm) || count == spoken.size()) continue;
    spoken[count++] = {n.weight, double{t.depth_mm} / ground_.site_ratio[n.gauge], t.accepted};
    accepted += t.accepted ? 1 : 0;
    if (accepted == ground_.around.options.used) break;
  }
  const bool only_accepted = accepted >= kLeastNeighbours;
  const double bucket_mm = ground_.network.gauges[gauge].bucket_mm;
  double weights = 0, wet = 0, sum = 0, squares = 0;
  for (const Spoken& s : std::span(spoken).first(count)) {
    if (only_accepted && !s.accepted) continue;
    if (out.neighbours == ground_.around.options.used) break;
    const double value = s.depth_mm > 0 ? portable_log(s.depth_mm / bucket_mm + 1) : 0;
    weights += s.weight;
    wet += s.depth_mm > 0 ? s.weight : 0;
    sum += s.weight * value;
    squares += s.weight * value * value;
    ++out.neighbours;
  }
  if (out.neighbours == 0) return;
  const double mean = sum / weights;
  out.wet_share = wet / weights;
  out.patchiness = std::sqrt(std::clamp(squares / weights - mean * mean, 0.0, 1.0));
}

JudgedKinds judged_kinds(const WindowGround& ground, std::span<const WindowKind> kinds) {
  JudgedKinds judged;
  for (const WindowKind kind : kinds)
    judged.push_back({kind, JudgedWindows(ground, windows_of(kind, ground.depths))});
  return judged;
}

}  // namespace gaugeloom
