#include "gaugeloom/rehearse/step_pit.hpp"

#include <algorithm>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/fill/band_law.hpp"

namespace gaugeloom {
namespace {

constexpr double kFlat = 1.0 / kPitBins;

BandLaw law_of_step(const SeriesRecord& filled, std::size_t gauge, std::size_t step) {
  const std::size_t i = filled.index(gauge, step);
  const auto estimate = static_cast<double>(filled.depth.depth_mm(gauge, step));
  return band_law(estimate,
                  {static_cast<double>(filled.low_mm[i]), static_cast<double>(filled.high_mm[i]),
                   static_cast<double>(filled.standard_error_mm[i])});
}

// The place of a reading in the law, `draw` of the way through the piece it covers.
double place_in(const BandLaw& law, double measured_mm, double bucket_mm, double draw) {
  const double half = bucket_mm / 2;
  const double from = measured_mm < half ? 0 : law.share_up_to(measured_mm - half);
  return from + draw * (law.share_up_to(measured_mm + half) - from);
}

}  // namespace

double StepPit::largest() const { return *std::max_element(share.begin(), share.end()); }

double StepPit::distance() const {
  double sum = 0;
  for (const double s : share) sum += (s - kFlat) * (s - kFlat) / kFlat;
  return sum;
}

StepPit step_pit(const Network& network, const RainTable& truth, const SeriesRecord& filled,
                 const std::vector<HiddenGap>& gaps, bool wet_only, std::uint64_t seed) {
  StepPit pit;
  for (const HiddenGap& gap : gaps) {
    const Gauge& gauge = network.gauges[gap.gauge];
    const std::uint64_t id = hash_bytes(gauge.id);
    for (std::size_t s = gap.first; s < gap.last; ++s) {
      if (!truth.is_measured(gap.gauge, s)) continue;
      if (filled.origin[filled.index(gap.gauge, s)] != Origin::neighbours) continue;
      if (wet_only && filled.depth.depth_mm(gap.gauge, s) <= 0) continue;
      const auto end = static_cast<std::uint64_t>(truth.axis().end(s).time_since_epoch().count());
      const double place = place_in(law_of_step(filled, gap.gauge, s),
                                    static_cast<double>(truth.depth_mm(gap.gauge, s)),
                                    gauge.bucket_mm, keyed_uniform(seed, id, end));
      ++pit.share[std::min(kPitBins - 1, static_cast<std::size_t>(place * kPitBins))];
      ++pit.steps;
    }
  }
  for (double& share : pit.share) share /= static_cast<double>(pit.steps);
  return pit;
}

}  // namespace gaugeloom
