#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "checks/finding_text_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<const char*, 12> kMonths = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                 "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

std::string counted(double amount, const char* unit) {
  const std::string number = fmt::format("{:.0f}", amount);
  return fmt::format("{} {}{}", number, unit, number == "1" ? "" : "s");
}

std::string neighbour_text(const CheckContext& context, std::size_t gauge, std::size_t other) {
  const Gauge& neighbour = context.network.gauges[other];
  const double metres = distance_m(context.network.gauges[gauge].position, neighbour.position);
  return fmt::format("{} at {:.1f} km", neighbour.label(), metres / 1000);
}

}  // namespace

std::string mm_text(double depth_mm) { return fmt::format("{:.1f} mm", depth_mm); }

std::string no_more_text(double most_mm) {
  if (most_mm < 0.05) return "no neighbour had any rain";
  return "no neighbour had more than " + mm_text(most_mm);
}

std::string percent_text(double share) { return fmt::format("{:.0f} %", 100 * share); }

std::string span_text(Duration length) {
  const double minutes = static_cast<double>(length.count()) / 60e6;
  if (minutes < 90) return counted(minutes, "minute");
  if (minutes < 72 * 60) return counted(minutes / 60, "hour");
  return counted(minutes / (24 * 60), "day");
}

std::string time_text(Instant t) {
  const auto day = std::chrono::floor<std::chrono::days>(t);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss clock(std::chrono::floor<std::chrono::minutes>(t - day));
  return fmt::format("{} {} {:02}:{:02} UTC", static_cast<unsigned>(date.day()),
                     kMonths[static_cast<unsigned>(date.month()) - 1], clock.hours().count(),
                     clock.minutes().count());
}

std::string day_text(Instant t) {
  const std::chrono::year_month_day date(std::chrono::floor<std::chrono::days>(t));
  return fmt::format("{} {} {}", static_cast<unsigned>(date.day()),
                     kMonths[static_cast<unsigned>(date.month()) - 1],
                     static_cast<int>(date.year()));
}

std::vector<std::size_t> speaking_neighbours(const CheckContext& context, std::size_t gauge,
                                             std::size_t first, std::size_t last) {
  std::vector<std::size_t> speaking;
  for (const NearbyGauge& n : context.around.of[gauge]) {
    if (speaking.size() == context.around.options.used) break;
    std::size_t live = 0;
    for (std::size_t hour = first; hour < last; ++hour) {
      if (context.hours.is_measured(n.gauge, hour) && !context.excluded.at(n.gauge, hour)) ++live;
    }
    if (2 * live >= last - first && live > 0) speaking.push_back(n.gauge);
  }
  return speaking;
}

std::string neighbours_text(const CheckContext& context, std::size_t gauge,
                            const std::vector<std::size_t>& neighbours) {
  const std::size_t named = std::min<std::size_t>(3, neighbours.size());
  std::string text;
  for (std::size_t i = 0; i < named; ++i) {
    if (i > 0) text += i + 1 == named ? " and " : ", ";
    text += neighbour_text(context, gauge, neighbours[i]);
  }
  return text.empty() ? "no neighbour" : text;
}

DepthPair depths_over(const CheckContext& context, std::size_t gauge, std::size_t first,
                      std::size_t last) {
  DepthPair pair;
  for (std::size_t hour = first; hour < last; ++hour) {
    const double observed = context.hours.depth_mm(gauge, hour);
    const double expected = context.expected.depth_at(gauge, hour);
    if (std::isnan(observed) || std::isnan(expected)) continue;
    pair.observed_mm += observed;
    pair.expected_mm += expected;
    ++pair.hours;
  }
  return pair;
}

Finding finding_over(const CheckContext& context, FindingKind kind, std::size_t gauge,
                     std::size_t first, std::size_t last) {
  Finding finding;
  finding.gauge = gauge;
  finding.kind = kind;
  finding.from = context.hours.axis().begin(first);
  const DepthPair depths = depths_over(context, gauge, first, last);
  finding.observed_mm = depths.observed_mm;
  finding.expected_mm = depths.expected_mm;
  finding.neighbours = speaking_neighbours(context, gauge, first, last);
  return finding;
}

}  // namespace gaugeloom
