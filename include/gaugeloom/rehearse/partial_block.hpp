#pragma once
// A funnel that lets through only so much: rain feeds a store, the store drains slowly and spills
// over.

#include <span>

#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

// The store is that of expect/funnel_store.hpp.
struct PartialBlock {
  double cap_mm_h = 1.5;  // what passes at most
  double drain_h = 1;     // the store empties with this time constant; our choice
  double store_mm = 50;   // what a funnel holds before it spills: 40 to 60 mm
  double bucket_mm = 0.2;
};

// Where the water went, in mm.
struct WaterBalance {
  double rained_mm = 0;   // measured before the fault
  double tipped_mm = 0;   // measured with it
  double spilled_mm = 0;  // over the rim
  double stored_mm = 0;   // still in the funnel at the end
  double unread_mm = 0;   // less than a tip in the bucket, or drained while nothing was recorded
};

// Depths of one gauge in mm, in whole buckets; those in `blocked` become what the store lets out.
// The funnel is empty before and cleaned after.
// Laws: (1) rained = tipped + spilled + stored + unread; (2) no hour holds more than the cap and
// one bucket; (3) what is missing stays missing, and no rain is assumed in it.
// Requires: blocked.last <= depth_mm.size(); step_h, cap, drain, bucket > 0.
WaterBalance block_partly(std::span<float> depth_mm, StepAxis::Range blocked, double step_h,
                          const PartialBlock& block);

}  // namespace gaugeloom
