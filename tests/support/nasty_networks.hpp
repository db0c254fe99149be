#pragma once
// The networks that break things: one gauge, gauges on one spot, on a line, on a grid full of ties.

#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom::support {

struct NastyNetwork {
  std::string name;
  std::vector<MetricPoint> gauges;
  std::vector<MetricPoint> targets;
};

std::vector<NastyNetwork> nasty_networks();

}  // namespace gaugeloom::support
