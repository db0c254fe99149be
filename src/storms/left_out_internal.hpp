#pragma once
// How gauges are left out in turn to tell the errors of a map. Internal.

#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "gaugeloom/interp/surface.hpp"

namespace gaugeloom {

// As the map interpolates.
inline RecordLeaveOneOutOptions left_out_options(const SurfaceOptions& options) {
  RecordLeaveOneOutOptions left_out;
  left_out.method = options.method;
  left_out.power = options.power;
  left_out.neighbours = options.neighbours;
  left_out.negative_weights = options.negative_weights;
  return left_out;
}

}  // namespace gaugeloom
