#include "checks/lag_law_internal.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kFarthestMinutes = 26 * 60;
constexpr double kPriorDays = 10;

double tail(double x) { return 1 / (1 + x); }  // 1 at 0, falling as 1/x; our choice

// Neighbouring bins made one, where an outer one would be the denser.
struct Pool {
  double share;
  double width;
  std::size_t bins;

  double density() const { return share / width; }
  void add(const Pool& other) {
    share += other.share;
    width += other.width;
    bins += other.bins;
  }
};

}  // namespace

std::size_t clarity_of(double correlation) {
  std::size_t clarity = 0;
  while (clarity + 1 < kClarityEdges.size() && correlation >= kClarityEdges[clarity + 1]) ++clarity;
  return clarity;
}

LagLaw::LagLaw(double step_minutes) {
  for (const double edge : {0.0, 0.5, 1.5, 2.5, 3.5, 5.5, 8.5, 12.5, 20.5, 40.5})
    edges_.push_back(edge * step_minutes);
  edges_.push_back(std::max(kFarthestMinutes, 80 * step_minutes));
  counts_.assign(kClarityEdges.size() * bins(), 0.0);
}

std::size_t LagLaw::place(std::size_t clarity, double minutes) const {
  std::size_t bin = 0;
  while (bin + 1 < bins() && std::abs(minutes) >= edges_[bin + 1]) ++bin;
  return clarity * bins() + bin;
}

std::vector<double> LagLaw::log_densities() const {
  std::vector<double> density;
  for (std::size_t clarity = 0; clarity < kClarityEdges.size(); ++clarity) {
    const double* counts = counts_.data() + clarity * bins();
    const double days = std::accumulate(counts, counts + bins(), kPriorDays);
    std::vector<Pool> pools;
    for (std::size_t i = 0; i < bins(); ++i) {
      const double prior = tail(edges_[i] / edges_[2]) - tail(edges_[i + 1] / edges_[2]);
      pools.push_back(
          {(counts[i] + kPriorDays * prior) / days, 2 * (edges_[i + 1] - edges_[i]), 1});
      while (pools.size() > 1 && pools.back().density() > pools[pools.size() - 2].density()) {
        const Pool last = pools.back();
        pools.pop_back();
        pools.back().add(last);
      }
    }
    for (const Pool& pool : pools) density.insert(density.end(), pool.bins, pool.density());
  }
  for (double& d : density) d = portable_log(d);
  return density;
}

}  // namespace gaugeloom
