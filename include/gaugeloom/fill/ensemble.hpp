#pragma once
// Members of an ensemble: series that could be the truth as well as the filled one, given what was
// measured. Each has the measured depths as they are; they differ where depths were estimated.
// Method: a normal number for every gauge, step and member (a Gaussian copula), turned into a depth
// by the law that the step's estimate and band stand for (fill/band_law.hpp). The numbers go
// together over time so that sums are as uncertain as was learned for sums, and between gauges by
// distance. What was measured of it: src/fill/ensembles.md.

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "gaugeloom/fill/fill_gaps.hpp"

namespace gaugeloom {

struct EnsembleOptions {
  int members = 20;        // 1 to 1000
  std::uint64_t seed = 1;  // another seed, other members
  int threads = 0;         // 0 = all cores; the members do not depend on it

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Laws (each one is a test):
//   (1) a step that is not estimated is in every member what it is in the filled record, bit for
//       bit: a measured depth, zeros included, or missing;
//   (2) the steps of a total that was spread, or of water put back, add up to it exactly, in
//       thousandths of a mm, in every member;
//   (3) over many members, the 5 % and 95 % quantiles of a step are its band; a step estimated as 0
//       whose upper bound is 0 is 0 in all members. The mean of a step is the estimate, but where a
//       step estimated as 0 has an upper bound above 0: no member is below it, so their mean is
//       above it, and the wet steps of that day give up as much (at most half of theirs). The mean
//       over a day with wet estimates is that of the estimates;
//   (4) every depth drawn is a whole number of thousandths of a mm, 0 or more (not of tips);
//   (5) a member is the same for any number of members and threads, any part of the record that is
//       asked for, and any order of the gauges;
//   (6) with the same estimates and bands it is the same beside gauges farther from every other
//       than the reach of the correlation.
class Ensemble {
 public:
  // `network`, `rain` and `filled` are those of fill_gaps; `filled` must outlive the ensemble.
  // Throws: Error{invalid_option} if options.problem() has one.
  // Cost: per gauge, a few thousand pairs of steps; gauges^3 / 6 once.
  Ensemble(const Network& network, const RainRecord& rain, const FillResult& filled,
           const EnsembleOptions& options);
  ~Ensemble();
  Ensemble(Ensemble&&) noexcept;
  Ensemble& operator=(Ensemble&&) noexcept;

  std::size_t members() const;
  // Whether the step was estimated, so that members may differ.
  bool is_estimated(std::size_t gauge, std::size_t step) const;
  // Depths in mm of all members over these steps: out[(step - steps.first) * members() + member];
  // NaN where missing. May be called from several threads at once.
  // Requires: out.size() == (steps.last - steps.first) * members(). Cost: per uncertain step and
  // member, one normal number per gauge within reach, and one power.
  void draw(std::size_t gauge, StepAxis::Range steps, std::span<float> out) const;

  // What the variance of a gauge's numbers is made of: the share that lasts one step, and longer.
  std::span<const std::chrono::seconds> scales() const;
  std::span<const double> lasting_shares(std::size_t gauge) const;

 private:
  struct State;
  std::unique_ptr<const State> state_;
};

}  // namespace gaugeloom
