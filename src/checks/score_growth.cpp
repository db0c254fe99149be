#include "gaugeloom/checks/score_growth.hpp"

#include <algorithm>
#include <utility>

#include "checks/score_growth_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kAlwaysKept = 4;  // first, last, highest, at the call

bool is_lower(const ScorePoint& a, const ScorePoint& b) { return a.score < b.score; }

// Marks the lowest and the highest of each of many equal stretches.
void mark_extremes(std::span<const ScorePoint> points, std::vector<bool>& kept) {
  constexpr std::size_t kStretches = (kMostScorePoints - kAlwaysKept) / 2;
  for (std::size_t s = 0; s < kStretches; ++s) {
    const std::size_t first = s * points.size() / kStretches;
    const std::size_t last = (s + 1) * points.size() / kStretches;
    const auto [low, high] =
        std::minmax_element(points.begin() + static_cast<std::ptrdiff_t>(first),
                            points.begin() + static_cast<std::ptrdiff_t>(last), is_lower);
    kept[static_cast<std::size_t>(low - points.begin())] = true;
    kept[static_cast<std::size_t>(high - points.begin())] = true;
  }
}

}  // namespace

ScorePath higher_of(const ScorePath& a, const ScorePath& b) {
  ScorePath out;
  out.reserve(std::max(a.size(), b.size()));
  auto left = a.begin();
  auto right = b.begin();
  while (left != a.end() || right != b.end()) {
    if (right == b.end() || (left != a.end() && left->at < right->at)) {
      out.push_back(*left++);
    } else if (left == a.end() || right->at < left->at) {
      out.push_back(*right++);
    } else {
      out.push_back(left->score < right->score ? *right : *left);
      ++left;
      ++right;
    }
  }
  return out;
}

std::vector<ScorePoint> thinned(std::vector<ScorePoint> points, Instant called) {
  if (points.size() <= kMostScorePoints) return points;
  std::vector<bool> kept(points.size(), false);
  mark_extremes(points, kept);
  kept.front() = kept.back() = true;
  const auto highest = std::max_element(points.begin(), points.end(), is_lower);
  kept[static_cast<std::size_t>(highest - points.begin())] = true;
  const auto after = std::upper_bound(points.begin(), points.end(), called,
                                      [](Instant t, const ScorePoint& p) { return t < p.time; });
  if (after != points.begin()) kept[static_cast<std::size_t>(after - points.begin()) - 1] = true;
  std::vector<ScorePoint> out;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (kept[i]) out.push_back(points[i]);
  return out;
}

ScoreGrowth growth_of(std::vector<ScorePoint> points, const LearnedThreshold& levels,
                      Instant called) {
  return {thinned(std::move(points), called), levels.provisional, levels.confirmed};
}

ScoreGrowth growth_along(const StepAxis& axis, std::span<const ScoreAt> path,
                         const LearnedThreshold& levels, Instant called) {
  std::vector<ScorePoint> points;
  points.reserve(path.size());
  for (const ScoreAt& p : path) points.push_back({axis.end(p.at), p.score});
  return growth_of(std::move(points), levels, called);
}

std::vector<ScoreGrowth> grown_when_called(std::span<const Finding> findings) {
  std::vector<ScoreGrowth> growth;
  for (const Finding& f : findings)
    growth.push_back({{{f.called, f.score}}, std::nullopt, std::nullopt});
  return growth;
}

}  // namespace gaugeloom
