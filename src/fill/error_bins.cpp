#include "fill/error_bins_internal.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr double kEdges[] = {0.2, 0.4, 0.6, 0.75, 0.85, 0.92, 0.96, 0.98, 0.99, 1};
constexpr std::size_t kFewestPairs = 50;

// A new value falls below it with that probability, whatever the law (Weibull plotting position).
double quantile(std::span<const double> sorted, double share) {
  const auto most = static_cast<double>(sorted.size() - 1);
  const double place = std::clamp(share * static_cast<double>(sorted.size() + 1) - 1, 0.0, most);
  const auto below = static_cast<std::size_t>(place);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (place - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

ErrorBin learn_bin(std::span<const ErrorPair> pairs) {
  std::vector<double> ratios;
  double estimates = 0;
  double squares = 0;
  for (const ErrorPair& pair : pairs) {
    const auto estimate = static_cast<double>(pair.estimate_mm);
    ratios.push_back(static_cast<double>(pair.measured_mm) / estimate);
    estimates += estimate;
    const double error = static_cast<double>(pair.measured_mm) - estimate;
    squares += error * error;
  }
  std::sort(ratios.begin(), ratios.end());
  const auto count = static_cast<double>(pairs.size());
  const double mean = estimates / count;
  return {mean, quantile(ratios, 0.05), quantile(ratios, 0.95), std::sqrt(squares / count) / mean,
          pairs.size()};
}

}  // namespace

std::vector<ErrorBin> error_bins(BulkVector<ErrorPair>& pairs) {
  std::erase_if(pairs, [](const ErrorPair& pair) { return pair.estimate_mm <= 0; });
  std::sort(pairs.begin(), pairs.end(), [](const ErrorPair& a, const ErrorPair& b) {
    return a.estimate_mm != b.estimate_mm ? a.estimate_mm < b.estimate_mm
                                          : a.measured_mm < b.measured_mm;
  });
  std::vector<ErrorBin> bins;
  std::size_t first = 0;
  for (const double edge : kEdges) {
    auto last = static_cast<std::size_t>(edge * static_cast<double>(pairs.size()));
    if (pairs.size() - last < kFewestPairs) last = pairs.size();
    if (last - first < kFewestPairs && last < pairs.size()) continue;
    if (last > first) bins.push_back(learn_bin(std::span(pairs).subspan(first, last - first)));
    first = last;
  }
  return bins;
}

DryErrors dry_errors(std::vector<float>& measured_mm, std::size_t zeros) {
  std::sort(measured_mm.begin(), measured_mm.end());
  const std::size_t all = measured_mm.size() + zeros;
  if (all == 0) return {};
  DryErrors errors;
  const auto place = static_cast<std::size_t>(0.95 * static_cast<double>(all - 1));
  if (place >= zeros) errors.high_mm = static_cast<double>(measured_mm[place - zeros]);
  double squares = 0;
  for (const float mm : measured_mm) squares += static_cast<double>(mm) * static_cast<double>(mm);
  errors.error_mm = std::sqrt(squares / static_cast<double>(all));
  return errors;
}

DepthError error_at(std::span<const ErrorBin> bins, double estimate_mm) {
  const auto scaled = [](const ErrorBin& bin, double mm) {
    return DepthError{bin.low_ratio * mm, bin.high_ratio * mm, bin.error_ratio * mm};
  };
  if (estimate_mm <= bins.front().estimate_mm) {
    DepthError error = scaled(bins.front(), bins.front().estimate_mm);
    error.low_mm *= estimate_mm / bins.front().estimate_mm;
    return error;
  }
  if (estimate_mm >= bins.back().estimate_mm) return scaled(bins.back(), estimate_mm);
  const auto above =
      std::upper_bound(bins.begin(), bins.end(), estimate_mm,
                       [](double mm, const ErrorBin& bin) { return mm < bin.estimate_mm; });
  const auto below = above - 1;
  const double log_below = portable_log(below->estimate_mm);
  const double share =
      (portable_log(estimate_mm) - log_below) / (portable_log(above->estimate_mm) - log_below);
  const DepthError low = scaled(*below, estimate_mm);
  const DepthError high = scaled(*above, estimate_mm);
  return {low.low_mm + share * (high.low_mm - low.low_mm),
          low.high_mm + share * (high.high_mm - low.high_mm),
          low.standard_error_mm + share * (high.standard_error_mm - low.standard_error_mm)};
}

}  // namespace gaugeloom::fill_internal
