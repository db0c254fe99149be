#pragma once
// Which neighbours may feed an estimate, and when.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom::fill_internal {

// One bit per gauge and step: good (good or unchecked) and fair (suspect too). Poor and missing
// values are in neither.
struct Donors {
  Donors(const RainTable& depths, const QualityTable& quality);
  std::span<const std::uint64_t> good_bits(std::size_t gauge) const {
    return std::span(good).subspan(gauge * words, words);
  }
  std::span<const std::uint64_t> fair_bits(std::size_t gauge) const {
    return std::span(fair).subspan(gauge * words, words);
  }
  bool is_good(std::size_t gauge, std::size_t step) const {
    return (good[gauge * words + step / 64] >> (step % 64)) & 1U;
  }

  std::size_t words = 0;
  BulkVector<std::uint64_t> good;
  BulkVector<std::uint64_t> fair;
};

// Steps [first, last) that are estimated from the same neighbours: bit c of `chosen` stands for
// candidate c.
struct DonorRun {
  std::size_t first = 0;
  std::size_t last = 0;
  std::uint64_t chosen = 0;
};

// The neighbours of one gauge: its nearest (at most 64), by distance, then by row.
struct Neighbourhood {
  MetricPoint target;
  std::vector<std::size_t> candidates;  // rows
  std::vector<MetricPoint> positions;
  std::vector<double> distances_m;
  std::vector<DonorRun> runs;  // cover all steps, in order
};

// The nearest `neighbours` good candidates at each step; fair ones too where under 3 are good.
Neighbourhood neighbourhood(std::size_t target, std::span<const MetricPoint> positions,
                            const Donors& donors, std::size_t steps, int neighbours);

}  // namespace gaugeloom::fill_internal
