#include "gaugeloom/expect/hour_law.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/miss_law.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kWetRows = 3;
constexpr std::size_t kDepthRows = kMissDepthEdgesMm.size();
constexpr std::size_t kRows = 2 + kDepthRows * kWetRows;
constexpr double kBinPrior = 30;        // hours that a depth's law counts for in its rows
constexpr double kBroadPrior = 10;      // hours that the broad law counts for in a depth's law
constexpr double kDrySprinkle = 0.002;  // prior share of wet hours when all around are dry
constexpr double kBroadSpread = 0.9;    // of the log of depth

std::size_t depth_bin(double expected_mm) {
  std::size_t bin = 0;
  while (bin + 1 < kDepthRows && expected_mm >= kMissDepthEdgesMm[bin + 1]) ++bin;
  return bin;
}

using Classes = std::array<double, kHourClasses>;

// Broad on purpose: what a bin without hours falls back to.
Classes broad_law(double middle_mm, double dry_share) {
  Classes law{};
  law[0] = dry_share;
  double sum = 0;
  for (std::size_t c = 1; c < kHourClasses; ++c) {
    const double low = std::max(0.1, kHourClassEdgesMm[c]);
    const double high = c + 1 < kHourClasses ? kHourClassEdgesMm[c + 1] : 2 * low;
    const double off = portable_log(0.5 * (low + high) / middle_mm) / kBroadSpread;
    law[c] = (high - low) / (low + high) * portable_exp(-0.5 * off * off) + 1e-4;
    sum += law[c];
  }
  for (std::size_t c = 1; c < kHourClasses; ++c) law[c] *= (1 - dry_share) / sum;
  return law;
}

Classes shrunk(const Classes& counts, const Classes& prior, double weight) {
  double hours = weight;
  for (const double count : counts) hours += count;
  Classes law{};
  for (std::size_t c = 0; c < kHourClasses; ++c) law[c] = (counts[c] + weight * prior[c]) / hours;
  return law;
}

}  // namespace

std::size_t hour_class(double depth_mm) {
  std::size_t c = 0;
  while (c + 1 < kHourClasses && depth_mm >= kHourClassEdgesMm[c + 1]) ++c;
  return c;
}

HourRow hour_row(double expected_mm, double wet_share) {
  if (expected_mm < kMissDepthEdgesMm[0]) return 1;
  const std::size_t wet = wet_share < 0.5 ? 0 : wet_share < 0.9 ? 1 : 2;
  return static_cast<HourRow>(2 + depth_bin(expected_mm) * kWetRows + wet);
}

HourRow row_of_hour(const ExpectedDepths& expected, std::size_t gauge, std::size_t hour) {
  const std::size_t first = hour > 0 ? hour - 1 : 0;
  const std::size_t last = std::min(hour + 2, expected.steps);
  bool dry = true;
  for (std::size_t h = first; h < last; ++h) dry = dry && !(expected.wet_at(gauge, h) > 0);
  if (dry) return kDryAroundRow;
  return hour_row(expected.depth_at(gauge, hour), expected.wet_at(gauge, hour));
}

HourLaw::HourLaw() : probability_(kRows * kHourClasses, 1.0 / kHourClasses) {}

HourLaw HourLaw::learned(const RainTable& depths, const ExpectedDepths& expected,
                         const Exclusions& excluded) {
  std::array<Classes, kRows> counts{};
  for (std::size_t gauge = 0; gauge < depths.gauge_count(); ++gauge)
    for (std::size_t hour = 0; hour < depths.step_count(); ++hour) {
      if (!depths.is_measured(gauge, hour) || excluded.at(gauge, hour)) continue;
      if (std::isnan(expected.depth_at(gauge, hour))) continue;
      ++counts[row_of_hour(expected, gauge, hour)][hour_class(depths.depth_mm(gauge, hour))];
    }
  HourLaw law;
  const auto put = [&](std::size_t row, const Classes& classes) {
    std::copy(classes.begin(), classes.end(),
              law.probability_.begin() + static_cast<std::ptrdiff_t>(row * kHourClasses));
  };
  put(0, shrunk(counts[0], broad_law(0.2, 1 - kDrySprinkle), kBroadPrior));
  put(1, shrunk(counts[1], broad_law(0.2, 0.9), kBroadPrior));
  for (std::size_t bin = 0; bin < kDepthRows; ++bin) {
    Classes all{};
    for (std::size_t wet = 0; wet < kWetRows; ++wet)
      for (std::size_t c = 0; c < kHourClasses; ++c) all[c] += counts[2 + bin * kWetRows + wet][c];
    const double middle = 1.4 * kMissDepthEdgesMm[bin];
    const Classes depth = shrunk(all, broad_law(middle, 0.3 / (1 + 4 * middle)), kBroadPrior);
    for (std::size_t wet = 0; wet < kWetRows; ++wet) {
      const std::size_t row = 2 + bin * kWetRows + wet;
      put(row, shrunk(counts[row], depth, kBinPrior));
    }
  }
  return law;
}

LawValues HourLaw::values() const { return {{{"probability", probability_}}, {}}; }

HourLaw HourLaw::from(const LawValues& values) {
  HourLaw law;
  law.probability_ = values.list("probability", law.probability_.size(), {1e-12, 1});
  return law;
}

}  // namespace gaugeloom
