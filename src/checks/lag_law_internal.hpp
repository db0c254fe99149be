#pragma once
// How far the lag of a day strays from the usual one of its gauge: densities per minute in bins of
// |minutes|, one law for each clarity of the day, since showers show a lag less sharply than
// fronts.

#include <array>
#include <cstddef>
#include <vector>

namespace gaugeloom {

// Lower edges of the classes of clarity: the correlation at the lag of the day. A day below the
// first shows no lag.
inline constexpr std::array kClarityEdges = {0.3, 0.5, 0.65, 0.8};

// The class of a correlation at or above the first edge.
std::size_t clarity_of(double correlation);

class LagLaw {
 public:
  // Bins as wide as a few steps, out to more than a day.
  explicit LagLaw(double step_minutes);

  // The place of a stray lag in counts() and log_densities().
  std::size_t place(std::size_t clarity, double minutes) const;
  void add(std::size_t clarity, double minutes, double weight) {
    counts_[place(clarity, minutes)] += weight;
  }
  std::vector<double>& counts() { return counts_; }
  const std::vector<double>& counts() const { return counts_; }

  // Log densities: the counts and ten days of a law with heavy tails, falling outwards.
  std::vector<double> log_densities() const;

 private:
  std::size_t bins() const { return edges_.size() - 1; }

  std::vector<double> edges_;
  std::vector<double> counts_;
};

}  // namespace gaugeloom
