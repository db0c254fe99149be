#pragma once
// Which gauges are near: a k-d tree over positions, with a brute-force twin to test it against.
// Source: J. L. Bentley, Multidimensional binary search trees used for associative searching,
// Communications of the ACM 18 (1975).

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

enum class Search { tree, brute_force };

struct Neighbour {
  std::size_t index = 0;  // in the points the index was built from
  double distance_m = 0;  // never squared
  bool operator==(const Neighbour&) const = default;
};

// An index over points, which it copies. Every answer is sorted by distance, ties by the lower
// index, so it does not depend on how the search went.
//
// Laws (each one is a test):
//   (1) tree and brute_force give the same answer, to the last bit;
//   (2) asking for more neighbours only appends to the answer;
//   (3) gauges at one spot are all found, the lower index first.
// Safe to ask from several threads at once.
// Requires: finite coordinates.
// Cost:     n log n to build; about log n + count per question (tree), n (brute force).
class GaugeIndex {
 public:
  explicit GaugeIndex(std::span<const MetricPoint> points, Search search = Search::tree);
  ~GaugeIndex();
  GaugeIndex(GaugeIndex&&) noexcept;
  GaugeIndex& operator=(GaugeIndex&&) noexcept;

  std::size_t size() const;
  std::span<const MetricPoint> points() const;

  // The `count` nearest points, fewer when there are not so many. A point at distance 0 counts.
  std::vector<Neighbour> nearest(const MetricPoint& target, std::size_t count) const;

  // The same among the available points: bit i % 64 of word i / 64 is set for an available point
  // i. Requires at least (size() + 63) / 64 words.
  std::vector<Neighbour> nearest_available(const MetricPoint& target, std::size_t count,
                                           std::span<const std::uint64_t> available) const;

  // All points at most `radius_m` away, the bound included.
  std::vector<Neighbour> within(const MetricPoint& target, double radius_m) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace gaugeloom
