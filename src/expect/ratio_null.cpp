#include "gaugeloom/expect/ratio_null.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kBins = kRatioDepthEdgesMm.size();
constexpr std::size_t kLeastSample = 30;
constexpr double kTail = 0.05;
constexpr double kPriorExcess = 0.4;  // of a log ratio, as strong as 5 values; our choice
constexpr double kPriorCount = 5;
constexpr double kMostLogRatio = 100;  // of a law that is read back

std::size_t bin_of(double expected_mm) {
  std::size_t bin = 0;
  while (bin + 1 < kBins && expected_mm >= kRatioDepthEdgesMm[bin + 1]) ++bin;
  return bin;
}

std::string bin_name(std::size_t bin) { return fmt::format("{:.0f} mm", kRatioDepthEdgesMm[bin]); }

double point(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  const double rest = at - static_cast<double>(below);
  return sorted[below] * (1 - rest) + sorted[above] * rest;
}

double mean_excess(std::span<const double> excesses) {
  const double sum = std::accumulate(excesses.begin(), excesses.end(), kPriorCount * kPriorExcess);
  return sum / (static_cast<double>(excesses.size()) + kPriorCount);
}

}  // namespace

RatioNull::Bin RatioNull::made(std::vector<double> sample) {
  Bin bin;
  std::sort(sample.begin(), sample.end());
  bin.low_point = point(sample, kTail);
  bin.high_point = point(sample, 1 - kTail);
  std::vector<double> below;
  std::vector<double> above;
  for (const double v : sample) {
    if (v < bin.low_point) below.push_back(bin.low_point - v);
    if (v > bin.high_point) above.push_back(v - bin.high_point);
  }
  bin.low_excess = mean_excess(below);
  bin.high_excess = mean_excess(above);
  bin.sorted = std::move(sample);
  return bin;
}

RatioNull RatioNull::learned(const BlockSums& blocks, std::span<const double> bucket_mm) {
  std::array<std::vector<double>, kBins> samples;
  for (std::size_t gauge = 0; gauge < bucket_mm.size(); ++gauge) {
    for (const BlockSum& b : blocks.row(gauge)) {
      if (!b.accepted || b.usable_share < kLeastBlockShare) continue;
      if (b.expected_mm < kRatioDepthEdgesMm[0]) continue;
      samples[bin_of(b.expected_mm)].push_back(
          log_ratio(b.observed_mm, b.expected_mm, bucket_mm[gauge]));
    }
  }
  RatioNull null;
  for (std::size_t i = 0; i < kBins; ++i) {
    std::vector<double> sample = samples[i];
    for (std::size_t reach = 1; reach < kBins && sample.size() < kLeastSample; ++reach) {
      if (i >= reach) {
        sample.insert(sample.end(), samples[i - reach].begin(), samples[i - reach].end());
      }
      if (i + reach < kBins) {
        sample.insert(sample.end(), samples[i + reach].begin(), samples[i + reach].end());
      }
    }
    if (sample.size() >= kLeastSample) null.bins_[i] = made(std::move(sample));
  }
  return null;
}

LawValues RatioNull::values() const {
  LawValues out;
  for (std::size_t i = 0; i < kBins; ++i) out.lists[bin_name(i)] = bins_[i].sorted;
  return out;
}

RatioNull RatioNull::from(const LawValues& values) {
  RatioNull null;
  for (std::size_t i = 0; i < kBins; ++i) {
    const std::vector<double>& sorted = values.list(bin_name(i), {-kMostLogRatio, kMostLogRatio});
    if (!sorted.empty()) null.bins_[i] = made(sorted);
  }
  return null;
}

const RatioNull::Bin* RatioNull::bin(double expected_mm) const {
  if (!(expected_mm >= kRatioDepthEdgesMm[0])) return nullptr;
  const Bin& bin = bins_[bin_of(expected_mm)];
  return bin.sorted.empty() ? nullptr : &bin;
}

bool RatioNull::judges(double expected_mm) const { return bin(expected_mm) != nullptr; }

double RatioNull::low_nats(double expected_mm, double value) const {
  const Bin* b = bin(expected_mm);
  if (b == nullptr || std::isnan(value)) return 0;
  if (value < b->low_point) return -portable_log(kTail) + (b->low_point - value) / b->low_excess;
  const auto upto = std::upper_bound(b->sorted.begin(), b->sorted.end(), value);
  const auto below = static_cast<double>(upto - b->sorted.begin());
  const auto count = static_cast<double>(b->sorted.size());
  return -portable_log(std::clamp((below - 0.5) / count, kTail, 1.0));
}

double RatioNull::high_nats(double expected_mm, double value) const {
  const Bin* b = bin(expected_mm);
  if (b == nullptr || std::isnan(value)) return 0;
  if (value > b->high_point) return -portable_log(kTail) + (value - b->high_point) / b->high_excess;
  const auto from = std::lower_bound(b->sorted.begin(), b->sorted.end(), value);
  const auto above = static_cast<double>(b->sorted.end() - from);
  const auto count = static_cast<double>(b->sorted.size());
  return -portable_log(std::clamp((above - 0.5) / count, kTail, 1.0));
}

double RatioNull::middle(double expected_mm) const {
  const Bin* b = bin(expected_mm);
  return b == nullptr ? 0 : point(b->sorted, 0.5);
}

double RatioNull::spread(double expected_mm) const {
  const Bin* b = bin(expected_mm);
  if (b == nullptr) return 1;
  return std::max(0.05, (point(b->sorted, 0.84) - point(b->sorted, 0.16)) / 2);
}

}  // namespace gaugeloom
