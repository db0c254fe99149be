#pragma once
// A standard normal number for every gauge, time and member of an ensemble. Gauges that lie near
// each other and times that follow each other go together. Any number can be asked for alone.

#include <chrono>
#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom::fill_internal {

// Where a time lies among the nodes of a scale, which stand at whole multiples of it since 1970:
// the number there is before x (that of the node) + after x (that of the next), and
// before^2 + after^2 = 1.
struct NodePlace {
  std::int64_t node = 0;
  double before = 1;
  double after = 0;
};
// A scale that is one step long has its own node for every step.
NodePlace node_place(Instant end, std::chrono::seconds scale, std::chrono::seconds step);

// Correlation of the numbers at two places of one scale.
double correlation(const NodePlace& a, const NodePlace& b);

// Laws (each one is a test): the numbers have mean 0 and variance 1; those of two gauges go
// together by 0.95 times a spherical correlation of range `range_m`, which ends there; so a gauge
// farther than that from every other changes no number of theirs. A number depends on the seed, the
// ids and distances of the gauges within reach, the scale, the node and the member alone: not on
// how many members there are, nor on the beginning of the record.
class LatentField {
 public:
  LatentField(const Network& network, double range_m, std::vector<std::chrono::seconds> scales,
              std::uint64_t seed);

  std::span<const std::chrono::seconds> scales() const { return scales_; }
  // Of members 0, 1, ... at one node.
  void numbers(std::size_t gauge, std::size_t scale, std::int64_t node,
               std::span<double> out) const;

 private:
  struct Part {
    std::uint64_t key = 0;  // of a gauge's own noise
    double weight = 0;
  };
  std::vector<std::chrono::seconds> scales_;
  std::uint64_t seed_ = 0;
  std::vector<std::vector<Part>> parts_;  // per gauge
};

// The numbers of one gauge in rising order of time, the scales put together: `shares` is what each
// contributes to the variance; they add up to 1.
class LatentWalk {
 public:
  LatentWalk(const LatentField& field, std::size_t gauge, std::span<const double> shares,
             std::size_t members);
  void at(Instant end, std::span<double> out);

 private:
  struct Nodes {
    bool is_known = false;
    std::int64_t node = 0;
    std::vector<double> before;
    std::vector<double> after;
  };
  void go_to(std::size_t scale, std::int64_t node, bool next_too);

  const LatentField& field_;
  std::size_t gauge_;
  std::vector<double> weights_;
  std::vector<Nodes> nodes_;
};

}  // namespace gaugeloom::fill_internal
