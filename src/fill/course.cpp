#include "fill/course_internal.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr std::size_t kFewestPairs = 200;
constexpr double kEdges[] = {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1};

double shape(const NeighbourEstimates& e, std::size_t step, FillMethod method) {
  if (method != FillMethod::kriging_square_root) return e.amount[step];
  const double root = e.root[step];
  return root * root;
}

void lay_piece(const NeighbourEstimates& e, std::span<const char> asked, std::size_t first,
               std::size_t last, const CourseRule& rule, std::span<float> depth_mm) {
  double total_shape = 0;
  double amount = 0;
  for (std::size_t s = first; s < last; ++s) {
    if (asked[s] == 0) continue;
    amount += rule.factor * static_cast<double>(e.amount[s]);
    if (e.root[s] > rule.threshold) total_shape += shape(e, s, rule.method);
  }
  const double scale = total_shape > 0 ? amount / total_shape : 0;
  for (std::size_t s = first; s < last; ++s) {
    if (asked[s] == 0) continue;
    depth_mm[s] = 0;
    if (!(e.root[s] > rule.threshold)) continue;
    const double depth = scale * shape(e, s, rule.method);
    depth_mm[s] = static_cast<float>(depth * mean_ratio(rule.ratios, depth));
  }
}

MeanRatio ratio_of(std::span<const MeanPair> pairs) {
  double estimated = 0;
  double measured = 0;
  for (const MeanPair& pair : pairs) {
    estimated += static_cast<double>(pair.estimate_mm);
    measured += static_cast<double>(pair.measured_mm);
  }
  return {estimated / static_cast<double>(pairs.size()), measured / estimated};
}

}  // namespace

void lay_course(const NeighbourEstimates& estimates, std::span<const char> asked,
                const CourseRule& rule, std::span<float> depth_mm) {
  for (std::size_t first = 0; first < asked.size(); first += rule.mass_steps)
    lay_piece(estimates, asked, first, std::min(first + rule.mass_steps, asked.size()), rule,
              depth_mm);
}

std::vector<MeanRatio> mean_ratios(BulkVector<MeanPair> pairs) {
  std::sort(pairs.begin(), pairs.end(), [](const MeanPair& a, const MeanPair& b) {
    return a.estimate_mm != b.estimate_mm ? a.estimate_mm < b.estimate_mm
                                          : a.measured_mm < b.measured_mm;
  });
  std::vector<MeanRatio> ratios;
  std::size_t first = 0;
  for (const double edge : kEdges) {
    auto last = static_cast<std::size_t>(edge * static_cast<double>(pairs.size()));
    if (pairs.size() - last < kFewestPairs) last = pairs.size();
    if (last - first < kFewestPairs && last < pairs.size()) continue;
    if (last > first) ratios.push_back(ratio_of(std::span(pairs).subspan(first, last - first)));
    first = last;
  }
  return ratios;
}

double mean_ratio(std::span<const MeanRatio> ratios, double estimate_mm) {
  if (ratios.empty()) return 1;
  if (estimate_mm <= ratios.front().estimate_mm) return ratios.front().ratio;
  if (estimate_mm >= ratios.back().estimate_mm) return ratios.back().ratio;
  const auto above =
      std::upper_bound(ratios.begin(), ratios.end(), estimate_mm,
                       [](double mm, const MeanRatio& ratio) { return mm < ratio.estimate_mm; });
  const auto below = above - 1;
  const double log_below = portable_log(below->estimate_mm);
  const double share =
      (portable_log(estimate_mm) - log_below) / (portable_log(above->estimate_mm) - log_below);
  return below->ratio + share * (above->ratio - below->ratio);
}

}  // namespace gaugeloom::fill_internal
