#include "gaugeloom/rehearse/injection.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/rehearse/bounced_tips.hpp"
#include "gaugeloom/rehearse/clock_shift.hpp"
#include "gaugeloom/rehearse/full_block.hpp"
#include "gaugeloom/rehearse/gain_change.hpp"
#include "gaugeloom/rehearse/held_back_total.hpp"
#include "gaugeloom/rehearse/miscounted_tips.hpp"
#include "gaugeloom/rehearse/missed_shower.hpp"
#include "gaugeloom/rehearse/partial_block.hpp"
#include "gaugeloom/rehearse/phantom_tips.hpp"
#include "gaugeloom/rehearse/release_burst.hpp"
#include "gaugeloom/rehearse/stored_zeros.hpp"
#include "gaugeloom/rehearse/swapped_gauges.hpp"
#include "rehearse/step_counts_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastMeasured = 0.8;
constexpr double kReleaseHours = 0.5;
constexpr double kDryHours = 6;          // around phantom tips
constexpr double kDryNeighbours = 0.25;  // of a local shower; our choice
constexpr int kDraws = 50;               // for a dry spell
constexpr double kMostOfTable = 0.6;     // a fault lasts at most so much of it

bool is_measured(const RainTable& table, std::size_t gauge, StepAxis::Range over) {
  std::size_t measured = 0;
  for (std::size_t i = over.first; i < over.last; ++i) {
    if (table.is_measured(gauge, i)) ++measured;
  }
  return static_cast<double>(measured) >=
         kLeastMeasured * static_cast<double>(over.last - over.first);
}

bool is_dry(const RainTable& table, std::size_t gauge, StepAxis::Range over, std::size_t around) {
  const std::size_t first = over.first > around ? over.first - around : 0;
  const std::size_t last = std::min(table.step_count(), over.last + around);
  for (std::size_t i = first; i < last; ++i) {
    if (!(table.depth_mm(gauge, i) <= 0)) return false;  // wet or missing
  }
  return true;
}

// The shift in steps, when it is a whole number of them.
std::optional<long> shift_steps(const StepAxis& axis, double minutes) {
  const double steps = minutes / 60 / axis.step_hours();
  const double whole = std::round(steps);
  if (std::abs(steps - whole) > 1e-6 || whole == 0) return std::nullopt;
  return static_cast<long>(whole);
}

std::optional<StepAxis::Range> draw_range(const RainTable& table, const FaultVariant& variant,
                                          Random& random) {
  const StepAxis& axis = table.axis();
  const auto count = static_cast<double>(axis.count());
  if (variant.lasts_to_the_end()) {
    const auto first = static_cast<std::size_t>(count * random.uniform(0.1, 0.3));
    return StepAxis::Range{first, axis.count()};
  }
  const double days = random.uniform(variant.least_days, variant.most_days);
  const std::size_t length =
      std::min(steps_in(axis, 24 * days), static_cast<std::size_t>(kMostOfTable * count));
  const std::size_t margin = steps_in(axis, kReleaseHours);
  if (length == 0 || length + margin >= axis.count()) return std::nullopt;
  const std::size_t first = random.below(axis.count() - length - margin);
  return StepAxis::Range{first, first + length};
}

// Whether a good part of the neighbours had no rain while the gauge had its shower.
bool is_local(const RainTable& table, const Neighbourhoods& around, std::size_t gauge,
              StepAxis::Range shower) {
  std::size_t live = 0;
  std::size_t dry = 0;
  for (const NearbyGauge& n : around.of[gauge]) {
    if (live == around.options.used) break;
    const double sum = window_sum(table, n.gauge, shower.first, shower.last);
    if (std::isnan(sum)) continue;
    ++live;
    if (sum <= 0) ++dry;
  }
  return live >= kLeastNeighbours && static_cast<double>(dry) >= kDryNeighbours * double(live);
}

std::optional<StepAxis::Range> draw_shower(const RainTable& table, const Neighbourhoods& around,
                                           std::size_t gauge, Random& random) {
  auto showers = lone_showers(table.row(gauge), table.axis().step_hours());
  std::erase_if(showers, [&](StepAxis::Range s) { return !is_local(table, around, gauge, s); });
  if (showers.empty()) return std::nullopt;
  return showers[random.below(showers.size())];
}

std::optional<StepAxis::Range> draw_place(const RainTable& table, const Neighbourhoods& around,
                                          const FaultVariant& variant, std::size_t gauge,
                                          Random& random) {
  if (variant.is_decoy()) return draw_shower(table, around, gauge, random);
  if (variant.kind != InjectedKind::phantom_tips) return draw_range(table, variant, random);
  const std::size_t dry = steps_in(table.axis(), kDryHours);
  for (int draw = 0; draw < kDraws; ++draw) {
    const auto over = draw_range(table, variant, random);
    if (over && is_dry(table, gauge, *over, dry)) return over;
  }
  return std::nullopt;
}

void change_row(std::span<float> row, const StepAxis& axis, const FaultVariant& variant,
                StepAxis::Range over, const Gauge& gauge) {
  const double bucket_mm = gauge.bucket_mm;
  const double gain = 1 + variant.size / 100;
  switch (variant.kind) {
    case InjectedKind::full_block:
      return block_fully(row, over);
    case InjectedKind::partial_block:
      block_partly(row, over, axis.step_hours(),
                   {.cap_mm_h = variant.size, .bucket_mm = bucket_mm});
      return;
    case InjectedKind::release_burst:
      release_after_block(row, over, steps_in(axis, kReleaseHours), variant.size, bucket_mm);
      return;
    case InjectedKind::stored_zeros:
      return store_zeros(row, over);
    case InjectedKind::held_back_total:
      return hold_back(row, over);
    case InjectedKind::outage_total:
      return lose_but_total(row, over);
    case InjectedKind::gain_step:
      return change_gain(row, over, {gain, gain, bucket_mm});
    case InjectedKind::gain_ramp:
      return change_gain(row, over, {1, gain, bucket_mm});
    case InjectedKind::double_count:
      return miscount_tips(row, over, 2);
    case InjectedKind::bounce:
      bounce_tips(row, over, variant.size / 100, bucket_mm, hash_bytes(gauge.id));
      return;
    case InjectedKind::unit_slip:
      return miscount_tips(row, over, gain);
    case InjectedKind::clock_shift:
      return shift_clock(row, over, shift_steps(axis, variant.size).value_or(0));
    case InjectedKind::phantom_tips:
      add_tips(row, over, variant.size, bucket_mm);
      return;
    case InjectedKind::missed_shower:
      return miss_shower(row, over);
    case InjectedKind::swapped_gauges:
      break;  // of two rows
  }
}

// hears[a][b]: an estimate of a uses b.
bool meet(const std::vector<std::vector<bool>>& hears, std::size_t a, std::size_t b) {
  if (hears[a][b] || hears[b][a]) return true;
  return std::any_of(hears.begin(), hears.end(),
                     [&](const auto& listener) { return listener[a] && listener[b]; });
}

}  // namespace

std::optional<InjectedFault> draw_fault(const Neighbourhoods& around, const RainTable& table,
                                        std::size_t variant, std::size_t gauge, Random& random) {
  const FaultVariant& what = fault_variants()[variant];
  if (what.kind == InjectedKind::clock_shift && !shift_steps(table.axis(), what.size)) {
    return std::nullopt;
  }
  const auto over = draw_place(table, around, what, gauge, random);
  if (!over || !is_measured(table, gauge, *over)) return std::nullopt;
  InjectedFault fault{variant, gauge, gauge, *over};
  if (what.kind == InjectedKind::swapped_gauges) {
    fault.other = random.below(table.gauge_count());
    if (fault.other == gauge || !is_measured(table, fault.other, *over)) return std::nullopt;
  }
  return fault;
}

void inject(RainTable& table, const Network& network, const InjectedFault& fault) {
  const FaultVariant& variant = fault_variants()[fault.variant];
  if (variant.kind == InjectedKind::swapped_gauges) {
    return swap_gauges(table, fault.gauge, fault.other, fault.over);
  }
  const auto before = table.row(fault.gauge);
  std::vector<float> row(before.begin(), before.end());
  change_row(row, table.axis(), variant, fault.over, network.gauges[fault.gauge]);
  for (std::size_t i = fault.over.first; i < row.size(); ++i) {
    std::isnan(row[i]) ? table.set_missing(fault.gauge, i) : table.set(fault.gauge, i, row[i]);
  }
}

std::vector<std::vector<std::size_t>> far_groups(const Neighbourhoods& around, Random& random) {
  const std::size_t gauges = around.of.size();
  std::vector<std::vector<bool>> hears(gauges, std::vector<bool>(gauges, false));
  for (std::size_t gauge = 0; gauge < gauges; ++gauge) {
    for (std::size_t i = 0; i < std::min(around.options.used, around.of[gauge].size()); ++i) {
      hears[gauge][around.of[gauge][i].gauge] = true;
    }
  }
  std::vector<std::size_t> order(gauges);
  for (std::size_t i = 0; i < gauges; ++i) order[i] = i;
  for (std::size_t i = gauges; i > 1; --i) std::swap(order[i - 1], order[random.below(i)]);
  std::vector<std::vector<std::size_t>> groups;
  for (const std::size_t gauge : order) {
    const auto group = std::find_if(groups.begin(), groups.end(), [&](const auto& members) {
      return std::none_of(members.begin(), members.end(),
                          [&](std::size_t member) { return meet(hears, gauge, member); });
    });
    if (group == groups.end()) {
      groups.push_back({gauge});
    } else {
      group->push_back(gauge);
    }
  }
  return groups;
}

}  // namespace gaugeloom
