#pragma once
// The gauges of the invented basin that come as raw tips, and what their keepers wrote down.

#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom::support {

struct DemoTip {
  Instant time;       // to a hundredth of a second
  std::size_t gauge;  // row in the network
  std::string counter;
  bool whole_seconds = false;  // as its logger writes them
};

// Rows of the network, rising.
std::vector<std::size_t> demo_tip_gauges();
// Millilitres that the siphon above the bucket of a gauge holds; 0: it has none.
double demo_siphon_ml(std::size_t gauge);

// By time. `water_mm` is what fell into each funnel, gauge-major; it falls evenly over each step.
std::vector<DemoTip> demo_tips(const std::vector<double>& water_mm, const StepAxis& axis);

// The files in data/velsarn, as text.
std::string tips_csv(const std::vector<DemoTip>& tips, const std::vector<std::string>& gauge_ids);
std::string calibration_csv();
std::string visits_csv();
std::string outages_csv();

}  // namespace gaugeloom::support
