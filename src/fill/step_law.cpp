#include "fill/step_law_internal.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

namespace gaugeloom::fill_internal {
namespace {

constexpr double kLeastFactor = 0.5;

struct DayWater {
  double dry_mm = 0;  // means of laws where the estimate is 0
  double wet_mm = 0;  // estimates
};

}  // namespace

StepLaws::StepLaws(const SeriesRecord& record, std::size_t gauge) : record_(record), gauge_(gauge) {
  if (record.low_mm.empty() || record.depth.step_count() == 0) return;
  std::vector<DayWater> days(day_of(record.depth.step_count() - 1) + 1);
  for (std::size_t s = 0; s < record.depth.step_count(); ++s) {
    if (!is_uncertain(s) || record.origin[record.index(gauge, s)] != Origin::neighbours) continue;
    const auto estimate_mm = static_cast<double>(record.depth.depth_mm(gauge, s));
    DayWater& day = days[day_of(s)];
    day.wet_mm += estimate_mm;
    if (estimate_mm <= 0) day.dry_mm += band_law(0, band(s)).mean_mm();
  }
  for (const DayWater& day : days)
    factors_.push_back(static_cast<float>(
        day.wet_mm > 0 ? std::max(kLeastFactor, 1 - day.dry_mm / day.wet_mm) : 1.0));
}

std::optional<BandLaw> StepLaws::at(std::size_t step) const {
  if (!is_uncertain(step)) return std::nullopt;
  auto mean_mm = static_cast<double>(record_.depth.depth_mm(gauge_, step));
  if (record_.origin[record_.index(gauge_, step)] == Origin::neighbours)
    mean_mm *= static_cast<double>(factors_[day_of(step)]);
  return band_law(mean_mm, band(step));
}

std::size_t StepLaws::day_of(std::size_t step) const {
  const StepAxis& axis = record_.depth.axis();
  const auto first = std::chrono::floor<std::chrono::days>(axis.begin(0));
  return static_cast<std::size_t>(
      (std::chrono::floor<std::chrono::days>(axis.begin(step)) - first).count());
}

DepthError StepLaws::band(std::size_t step) const {
  const std::size_t i = record_.index(gauge_, step);
  return {static_cast<double>(record_.low_mm[i]), static_cast<double>(record_.high_mm[i]),
          static_cast<double>(record_.standard_error_mm[i])};
}

bool StepLaws::is_uncertain(std::size_t step) const {
  if (record_.low_mm.empty()) return false;
  const DepthError error = band(step);
  return error.high_mm > error.low_mm && !std::isnan(error.standard_error_mm);
}

}  // namespace gaugeloom::fill_internal
