#include "gaugeloom/expect/expected_depths.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostExcluded = 0.3;  // of a neighbourhood; our choice, as more leaves no ground

struct Gathered {
  double weights = 0;
  double sum = 0;
  double wet = 0;
  double largest = -1;
  double second = -1;
  double largest_weight = 0;
  std::size_t live = 0;

  void add(double weight, double depth_mm) {
    weights += weight;
    sum += weight * depth_mm;
    if (depth_mm > 0) wet += weight;
    if (depth_mm > largest) {
      second = largest;
      largest = depth_mm;
      largest_weight = weight;
    } else if (depth_mm > second) {
      second = depth_mm;
    }
    ++live;
  }
  // The largest lowered to the second largest.
  double mean_mm() const { return (sum - largest_weight * (largest - second)) / weights; }
};

class Estimator {
 public:
  Estimator(const RainTable& depths, const Neighbourhoods& around, const SiteRatios& sites,
            const Exclusions& excluded)
      : depths_(depths), around_(around), sites_(sites), excluded_(excluded) {}

  void fill(std::size_t gauge, ExpectedDepths& out) const {
    for (std::size_t step = 0; step < depths_.step_count(); ++step) {
      const Gathered all = gather(gauge, step);
      if (all.live < kLeastNeighbours) continue;
      const std::size_t i = gauge * out.steps + step;
      out.depth_mm[i] =
          static_cast<float>(sites_.lift * sites_.ratio[gauge] * std::max(0.0, all.mean_mm()));
      out.wet_share[i] = static_cast<float>(all.wet / all.weights);
    }
  }

 private:
  Gathered gather(std::size_t gauge, std::size_t step) const {
    const auto& candidates = around_.of[gauge];
    const auto most =
        static_cast<std::size_t>(kMostExcluded * static_cast<double>(candidates.size()));
    std::size_t skipped = 0;
    Gathered all;
    for (const NearbyGauge& n : candidates) {
      if (all.live == around_.options.used) break;
      const float depth = depths_.depth_mm(n.gauge, step);
      if (std::isnan(depth)) continue;
      if (skipped < most && excluded_.at(n.gauge, step)) {
        ++skipped;
        continue;
      }
      all.add(n.weight, depth / sites_.ratio[n.gauge]);
    }
    return all;
  }

  const RainTable& depths_;
  const Neighbourhoods& around_;
  const SiteRatios& sites_;
  const Exclusions& excluded_;
};

}  // namespace

void Exclusions::set(std::size_t gauge, std::size_t first, std::size_t last) {
  put(gauge, first, last, 1);
}

void Exclusions::admit(std::size_t gauge, std::size_t first, std::size_t last) {
  put(gauge, first, last, 0);
}

void Exclusions::put(std::size_t gauge, std::size_t first, std::size_t last, std::uint8_t value) {
  GAUGELOOM_ASSERT(first <= last && last <= steps);
  std::fill(values.begin() + static_cast<std::ptrdiff_t>(gauge * steps + first),
            values.begin() + static_cast<std::ptrdiff_t>(gauge * steps + last), value);
}

ExpectedDepths expected_depths(const RainTable& depths, const Neighbourhoods& around,
                               const SiteRatios& sites, const Exclusions& excluded, int threads) {
  GAUGELOOM_ASSERT(sites.ratio.size() == depths.gauge_count());
  GAUGELOOM_ASSERT(excluded.steps == depths.step_count());
  const std::size_t values = depths.gauge_count() * depths.step_count();
  ExpectedDepths out;
  out.steps = depths.step_count();
  out.depth_mm.assign(values, std::numeric_limits<float>::quiet_NaN());
  out.wet_share.assign(values, 0);
  const Estimator estimator(depths, around, sites, excluded);
  parallel_for(depths.gauge_count(), threads,
               [&](std::size_t gauge) { estimator.fill(gauge, out); });
  return out;
}

LawValues SiteRatios::values() const { return {{{"lift", {lift}}}, {{"ratio", {ratio, 1}}}}; }

SiteRatios SiteRatios::from(const LawValues& values) {
  const LawValues::Bounds any{1e-6, 1e6};
  SiteRatios sites;
  sites.lift = values.list("lift", 1, any)[0];
  sites.ratio = values.per_gauge("ratio", any);
  return sites;
}

}  // namespace gaugeloom
