#pragma once
// A gauge that counts too little or too much: at once (a step) or more and more (a ramp).

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The share of the rain that is counted, at the beginning and at the end; 0.8 = 20 % too little.
struct GainChange {
  double first = 1;
  double last = 1;  // straight in between
  double bucket_mm = 0.2;
};

// Multiplies the depths in `changed` and counts them in whole buckets, the rest of the water being
// carried on. Laws: (1) the sum is the sum of depth times gain, less than one bucket short of it;
// (2) missing stays missing; (3) nothing outside changes.
// Requires: changed.last <= depth_mm.size(); bucket_mm > 0; gains >= 0.
void change_gain(std::span<float> depth_mm, StepAxis::Range changed, const GainChange& gain);

}  // namespace gaugeloom
