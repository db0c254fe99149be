#include "gaugeloom/expect/peak_threshold.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostScales = 6;  // an excess counts for no more prior scales than this

}  // namespace

PeakLevel peak_level(std::vector<double> peaks, double years, double calls_per_year,
                     const PeakTail& tail) {
  GAUGELOOM_ASSERT(calls_per_year > 0);
  std::erase_if(peaks, [&](double peak) { return peak <= tail.base; });
  std::sort(peaks.begin(), peaks.end());
  PeakLevel out;
  out.peaks = peaks.size();
  const std::size_t censored = peaks.size() >= 5 ? std::max<std::size_t>(1, peaks.size() / 10) : 0;
  const std::size_t used = peaks.size() - censored;
  double sum = tail.prior_peaks * tail.prior_scale;
  for (std::size_t i = 0; i < peaks.size(); ++i) {
    sum += std::min(peaks[std::min(i, used - 1)] - tail.base, kMostScales * tail.prior_scale);
  }
  out.scale = sum / (static_cast<double>(used) + tail.prior_peaks);
  const double allowed = calls_per_year * std::max(years, 0.01);
  const double crossings = std::max(1.0, static_cast<double>(peaks.size()));
  out.level = tail.base + out.scale * portable_log(crossings / allowed);
  out.level = std::clamp(out.level, tail.least, tail.most);
  return out;
}

}  // namespace gaugeloom
