#include "fill/neighbourhood_internal.hpp"

#include <algorithm>
#include <bit>

namespace gaugeloom::fill_internal {
namespace {

constexpr std::size_t kMaxCandidates = 64;

void find_candidates(Neighbourhood& around, std::size_t target,
                     std::span<const MetricPoint> positions) {
  struct Near {
    double distance_m;
    std::size_t row;
    bool operator<(const Near& other) const {
      return distance_m != other.distance_m ? distance_m < other.distance_m : row < other.row;
    }
  };
  std::vector<Near> near;
  for (std::size_t row = 0; row < positions.size(); ++row)
    if (row != target) near.push_back({distance_m(positions[target], positions[row]), row});
  const auto keep = std::min(kMaxCandidates, near.size());
  std::partial_sort(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(keep), near.end());
  near.resize(keep);
  for (const Near& n : near) {
    around.candidates.push_back(n.row);
    around.positions.push_back(positions[n.row]);
    around.distances_m.push_back(n.distance_m);
  }
}

std::uint64_t lowest_bits(std::uint64_t mask, int count) {
  std::uint64_t kept = 0;
  for (int i = 0; i < count && mask != 0; ++i) {
    kept |= mask & (~mask + 1);
    mask &= mask - 1;
  }
  return kept;
}

// Bit s of `words[c]`, for all candidates c, as one mask.
std::uint64_t column(std::span<const std::uint64_t> words, std::size_t bit) {
  std::uint64_t mask = 0;
  for (std::size_t c = 0; c < words.size(); ++c) mask |= ((words[c] >> bit) & 1U) << c;
  return mask;
}

void add_step(std::vector<DonorRun>& runs, std::size_t step, std::uint64_t chosen) {
  if (runs.empty() || runs.back().chosen != chosen)
    runs.push_back({step, step + 1, chosen});
  else
    runs.back().last = step + 1;
}

}  // namespace

Donors::Donors(const RainTable& depths, const QualityTable& quality)
    : words((depths.step_count() + 63) / 64),
      good(depths.gauge_count() * words, 0),
      fair(depths.gauge_count() * words, 0) {
  for (std::size_t g = 0; g < depths.gauge_count(); ++g)
    for (std::size_t s = 0; s < depths.step_count(); ++s) {
      if (!depths.is_measured(g, s)) continue;
      const Quality q = quality.at(g, s);
      const std::uint64_t bit = std::uint64_t{1} << (s % 64);
      const std::size_t word = g * words + s / 64;
      if (q == Quality::good || q == Quality::unchecked) good[word] |= bit;
      if (q == Quality::good || q == Quality::unchecked || q == Quality::suspect) fair[word] |= bit;
    }
}

Neighbourhood neighbourhood(std::size_t target, std::span<const MetricPoint> positions,
                            const Donors& donors, std::size_t steps, int neighbours) {
  Neighbourhood around;
  around.target = positions[target];
  find_candidates(around, target, positions);
  const std::size_t count = around.candidates.size();
  const auto nearest = std::min<std::size_t>(static_cast<std::size_t>(neighbours), count);
  const std::uint64_t all = nearest == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << nearest) - 1;
  std::vector<std::uint64_t> good(count);
  std::vector<std::uint64_t> fair(count);
  for (std::size_t w = 0; w < donors.words; ++w) {
    const std::size_t first = 64 * w;
    const std::size_t last = std::min(first + 64, steps);
    std::uint64_t common = ~std::uint64_t{0};
    for (std::size_t c = 0; c < count; ++c) {
      good[c] = donors.good_bits(around.candidates[c])[w];
      fair[c] = donors.fair_bits(around.candidates[c])[w];
      if (c < nearest) common &= good[c];
    }
    for (std::size_t s = first; s < last; ++s) {
      std::uint64_t mask = all;
      if (((common >> (s - first)) & 1U) == 0) mask = column(good, s - first);
      if (std::popcount(mask) < 3) mask = column(fair, s - first);
      add_step(around.runs, s, lowest_bits(mask, neighbours));
    }
  }
  return around;
}

}  // namespace gaugeloom::fill_internal
