#include "gaugeloom/rain/rain_table.hpp"

#include <cmath>
#include <limits>
#include <utility>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {
constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();
}

RainTable::RainTable(StepAxis axis, std::size_t gauges)
    : axis_(axis),
      gauges_(gauges),
      words_((axis.count() + 63) / 64),
      values_(gauges * axis.count(), kNaN),
      bits_(gauges * words_, 0) {}

RainTable::RainTable(StepAxis axis, std::size_t gauges, BulkVector<float> values_mm)
    : axis_(axis),
      gauges_(gauges),
      words_((axis.count() + 63) / 64),
      values_(std::move(values_mm)),
      bits_(gauges * words_, 0) {
  GAUGELOOM_ASSERT(values_.size() == gauges * axis.count());
  for (std::size_t g = 0; g < gauges_; ++g)
    for (std::size_t w = 0; w < words_; ++w) {
      const std::size_t last = std::min(axis_.count(), (w + 1) * 64);
      std::uint64_t word = 0;
      for (std::size_t s = w * 64; s < last; ++s) {
        const float value = values_[g * axis_.count() + s];
        word |= static_cast<std::uint64_t>(value == value) << (s % 64);
      }
      bits_[g * words_ + w] = word;
    }
}

RainTable::RainTable(StepAxis axis, std::size_t gauges, std::span<const float> values_mm)
    : RainTable(axis, gauges, BulkVector<float>(values_mm.begin(), values_mm.end())) {}

void RainTable::set(std::size_t gauge, std::size_t step, float depth_mm) {
  if (std::isnan(depth_mm)) return set_missing(gauge, step);
  GAUGELOOM_ASSERT(depth_mm >= 0 && std::isfinite(depth_mm));
  values_[gauge * axis_.count() + step] = depth_mm;
  bits_[gauge * words_ + step / 64] |= std::uint64_t{1} << (step % 64);
}

void RainTable::set_missing(std::size_t gauge, std::size_t step) {
  values_[gauge * axis_.count() + step] = kNaN;
  bits_[gauge * words_ + step / 64] &= ~(std::uint64_t{1} << (step % 64));
}

RainTable sums(const RainTable& table, std::size_t steps_per_sum) {
  GAUGELOOM_ASSERT(steps_per_sum >= 1);
  const StepAxis& axis = table.axis();
  const std::size_t count = axis.count() / steps_per_sum;
  const auto step = axis.step() * static_cast<long>(steps_per_sum);
  BulkVector<float> values(table.gauge_count() * count);
  for (std::size_t g = 0; g < table.gauge_count(); ++g) {
    const auto row = table.row(g);
    for (std::size_t i = 0; i < count; ++i) {
      double sum = 0;
      for (std::size_t s = i * steps_per_sum; s < (i + 1) * steps_per_sum; ++s)
        sum += static_cast<double>(row[s]);
      values[g * count + i] = static_cast<float>(sum);
    }
  }
  return RainTable(StepAxis(axis.span().from + step, step, count), table.gauge_count(),
                   std::move(values));
}

double window_sum(const RainTable& table, std::size_t gauge, std::size_t first, std::size_t last) {
  double sum = 0;
  const auto row = table.row(gauge);
  for (std::size_t s = first; s < last; ++s) sum += static_cast<double>(row[s]);
  return sum;
}

RainTable slice(const RainTable& table, std::size_t first, std::size_t last) {
  GAUGELOOM_ASSERT(first <= last && last <= table.step_count());
  BulkVector<float> values;
  values.reserve((last - first) * table.gauge_count());
  for (std::size_t g = 0; g < table.gauge_count(); ++g) {
    const auto row = table.row(g).subspan(first, last - first);
    values.insert(values.end(), row.begin(), row.end());
  }
  return RainTable(StepAxis(table.axis().end(first), table.axis().step(), last - first),
                   table.gauge_count(), std::move(values));
}

}  // namespace gaugeloom
