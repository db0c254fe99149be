#pragma once
// Windows of any length in which a gauge is held against its neighbours: an hour, six hours, a day,
// a storm, a month.

#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/neighbourhood.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

enum class WindowKind { step, hour, six_hours, day, storm, month };
inline constexpr std::array kWindowKinds = {WindowKind::step,      WindowKind::hour,
                                            WindowKind::six_hours, WindowKind::day,
                                            WindowKind::storm,     WindowKind::month};
std::string_view word(WindowKind kind);  // "step", "1h", "6h", "24h", "storm", "month"

// The windows of a kind as steps [first, last) of `table`, in order of time: every step; hours, six
// hours and days that begin at whole multiples in UTC; storms (rain/storm_spells.hpp); calendar
// months in UTC. The first and the last may be cut by the record. None where a step is longer than
// the window.
std::vector<StepAxis::Range> windows_of(WindowKind kind, const RainTable& table);

// One window of one gauge.
struct JudgedWindow {
  double observed_mm = 0;      // over the steps at which the gauge is measured and has an estimate
  double expected_mm = 0;      // over the same
  double usable_share = 0;     // of the steps of the window
  double wet_share = 0;        // weighted share of the neighbours that had rain in it, 0 to 1
  double patchiness = 0;       // how unlike the neighbours were, 0 to 1
  bool accepted = true;        // none of the gauge's steps is excluded
  std::size_t neighbours = 0;  // that spoke for the last two shares
  std::size_t half_year = 0;   // of its middle
};

// What windows are made of: views only. Rows of all tables are the gauges of `network`.
struct WindowGround {
  const Network& network;
  const RainTable& depths;
  const ExpectedDepths& expected;  // of `depths`
  const Exclusions& excluded;      // steps of `depths`
  const Neighbourhoods& around;
  std::span<const double> site_ratio;
};

// Below this share of usable steps a window neither teaches nor speaks for a neighbour.
inline constexpr double kLeastWindowShare = 0.6;

// The windows of one kind. Neighbours speak as in expected_depths: up to `used` nearest that are
// measured over enough of the window, divided by their site ratios; excluded ones do not, unless
// fewer than kLeastNeighbours would be left. Patchiness is the weighted standard deviation of the
// logs of (total + bucket of the gauge).
//
// A view: what it was made of must stay. Memory: 8 bytes per gauge and window of more than a step.
class JudgedWindows {
 public:
  JudgedWindows(const WindowGround& ground, std::vector<StepAxis::Range> windows);

  std::size_t gauges() const { return ground_.network.size(); }
  std::size_t count() const { return windows_.size(); }
  const StepAxis::Range& range(std::size_t window) const { return windows_[window]; }
  Interval over(std::size_t window) const;
  const Network& network() const { return ground_.network; }

  // Cost: the steps of the window and a logarithm per neighbour.
  JudgedWindow at(std::size_t gauge, std::size_t window) const;
  // Of what the gauges read in it, those that said nothing left out; 0 when all are.
  double mean_observed_mm(std::size_t window) const;

 private:
  struct Total {
    float depth_mm;  // NaN where too little is measured; else per measured share
    bool accepted;
  };
  Total total_of(std::size_t gauge, std::size_t window) const;
  Total total(std::size_t gauge, std::size_t window) const {
    return totals_.empty() ? total_of(gauge, window) : totals_[gauge * windows_.size() + window];
  }
  void add_neighbours(std::size_t gauge, std::size_t window, JudgedWindow& out) const;

  WindowGround ground_;
  std::vector<StepAxis::Range> windows_;
  std::vector<Total> totals_;  // empty when every window is a single step
};

struct JudgedKind {
  WindowKind kind;
  JudgedWindows windows;
};
using JudgedKinds = std::vector<JudgedKind>;

// The windows of the given kinds, in their order.
JudgedKinds judged_kinds(const WindowGround& ground, std::span<const WindowKind> kinds);
// Of an hour and longer: those that say something about a gauge.
inline constexpr auto kTellingKinds = std::span(kWindowKinds).subspan<1>();

}  // namespace gaugeloom
