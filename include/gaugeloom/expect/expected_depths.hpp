#pragma once
// What the neighbours alone lead us to expect at a gauge, window by window, robust to one bad
// neighbour and to those that are left out.

#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/expect/law_values.hpp"
#include "gaugeloom/expect/neighbourhood.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// Windows of gauges that must not speak for their neighbours: gauge * steps + step, 1 = excluded.
struct Exclusions {
  std::size_t steps = 0;
  BulkVector<std::uint8_t> values;

  Exclusions() = default;
  Exclusions(std::size_t gauges, std::size_t step_count)
      : steps(step_count), values(gauges * step_count, 0) {}
  bool at(std::size_t gauge, std::size_t step) const { return values[gauge * steps + step] != 0; }
  void set(std::size_t gauge, std::size_t first, std::size_t last);  // [first, last)
  void admit(std::size_t gauge, std::size_t first, std::size_t last);
  bool operator==(const Exclusions&) const = default;

 private:
  void put(std::size_t gauge, std::size_t first, std::size_t last, std::uint8_t value);
};

// Each gauge's rain over its neighbours', as it has always been, with median 1 over the network;
// and the factor, one for all, that the lowering of the largest neighbour takes away.
struct SiteRatios {
  std::vector<double> ratio;  // one per gauge, > 0
  double lift = 1;

  SiteRatios() = default;
  explicit SiteRatios(std::size_t gauges) : ratio(gauges, 1.0) {}

  // Lists "ratio" (of gauges) and "lift"; from() throws as LawValues.
  LawValues values() const;
  static SiteRatios from(const LawValues& values);
};

// Gauge-major, like the table.
struct ExpectedDepths {
  std::size_t steps = 0;
  BulkVector<float> depth_mm;   // NaN with fewer than kLeastNeighbours live neighbours
  BulkVector<float> wet_share;  // weighted share of the neighbours that had rain, 0 to 1

  float depth_at(std::size_t gauge, std::size_t step) const {
    return depth_mm[gauge * steps + step];
  }
  float wet_at(std::size_t gauge, std::size_t step) const {
    return wet_share[gauge * steps + step];
  }
};

// The weighted mean of the nearest live neighbours, each divided by its own site ratio, the sum
// multiplied by the gauge's own and by the lift. The largest of them counts only as much as the
// second largest, so that one neighbour alone is never evidence of rain. Excluded neighbours are
// skipped, but never more than 30 % of the candidates at one window.
//
// Laws: (1) the target's own readings do not enter; (2) one absurd neighbour cannot raise the
//       estimate beyond what the second largest allows; (3) the order of the gauges and the number
//       of threads do not matter.
// Cost: gauges x windows x neighbours used.
ExpectedDepths expected_depths(const RainTable& depths, const Neighbourhoods& around,
                               const SiteRatios& sites, const Exclusions& excluded, int threads);

}  // namespace gaugeloom
