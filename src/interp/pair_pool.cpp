#include <algorithm>
#include <array>
#include <cstddef>

#include "interp/pair_pool_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kClasses = 24;         // of distance, logarithmic
constexpr std::size_t kMostPerClass = 1000;  // pairs kept in each
constexpr std::size_t kMostLookedAt = 2'000'000;
constexpr double kClassRatio = 1.2;  // upper over lower edge; the first class reaches down to 0

std::array<double, kClasses> squared_upper_edges(double cutoff_m) {
  std::array<double, kClasses> edges{};
  double edge = cutoff_m;
  for (std::size_t i = kClasses; i-- > 0; edge /= kClassRatio) edges[i] = edge * edge;
  return edges;
}

// Calls use(i, j) for the pairs of an even choice of points with all others, each pair once.
template <typename Use>
void for_pairs(std::size_t points, Use use) {
  const std::size_t seeds =
      std::clamp(kMostLookedAt / points, std::min(points, std::size_t{16}), points);
  std::vector<char> done(points, 0);
  for (std::size_t seed = 0; seed < seeds; ++seed) {
    const std::size_t i = seed * points / seeds;
    done[i] = 1;
    for (std::size_t j = 0; j < points; ++j)
      if (!done[j]) use(i, j);
  }
}

double squared_distance(const MetricPoint& a, const MetricPoint& b) {
  const double dx = a.x_m - b.x_m, dy = a.y_m - b.y_m;
  return dx * dx + dy * dy;
}

}  // namespace

PairPool choose_pairs(std::span<const MetricPoint> points, double cutoff_m) {
  PairPool pool;
  if (points.size() < 2 || !(cutoff_m > 0)) return pool;
  const auto edges = squared_upper_edges(cutoff_m);
  std::array<std::size_t, kClasses + 1> count{}, seen{};
  std::vector<std::uint8_t> classes;  // of the pairs in their order; kClasses = none
  for_pairs(points.size(), [&](std::size_t i, std::size_t j) {
    const double square = squared_distance(points[i], points[j]);
    const auto position = std::lower_bound(edges.begin(), edges.end(), square) - edges.begin();
    const auto of = square > 0 ? static_cast<std::size_t>(position) : kClasses;
    classes.push_back(static_cast<std::uint8_t>(of));
    ++count[of];
  });
  std::size_t pair = 0;
  for_pairs(points.size(), [&](std::size_t i, std::size_t j) {
    const std::size_t of = classes[pair++];
    if (of == kClasses) return;
    // Keep when the even share of this class rises: min(count, most) of count pairs.
    const std::size_t wanted = std::min(count[of], kMostPerClass);
    const std::size_t before = seen[of]++ * wanted / count[of];
    if (seen[of] * wanted / count[of] == before) return;
    pool.push_back({distance_m(points[i], points[j]), static_cast<std::uint32_t>(i),
                    static_cast<std::uint32_t>(j)});
  });
  std::sort(pool.begin(), pool.end(), [](const PooledPair& a, const PooledPair& b) {
    if (a.distance_m != b.distance_m) return a.distance_m < b.distance_m;
    return a.first != b.first ? a.first < b.first : a.second < b.second;
  });
  return pool;
}

}  // namespace gaugeloom
