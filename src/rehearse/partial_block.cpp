#include "gaugeloom/rehearse/partial_block.hpp"

#include <cmath>

#include "gaugeloom/expect/funnel_store.hpp"

namespace gaugeloom {
namespace {

constexpr double kWholeTip = 1e-9;  // of a bucket: what rounding may take from it

}  // namespace

WaterBalance block_partly(std::span<float> depth_mm, StepAxis::Range blocked, double step_h,
                          const PartialBlock& block) {
  WaterBalance balance;
  FunnelStore funnel({block.cap_mm_h, block.drain_h, block.store_mm});
  double held_mm = 0;  // in the bucket
  for (std::size_t i = blocked.first; i < blocked.last; ++i) {
    if (std::isnan(depth_mm[i])) {
      balance.unread_mm += funnel.pass(0, step_h);
      continue;
    }
    balance.rained_mm += static_cast<double>(depth_mm[i]);
    held_mm += funnel.pass(static_cast<double>(depth_mm[i]), step_h);
    const double tips = std::floor(held_mm / block.bucket_mm + kWholeTip);
    held_mm -= tips * block.bucket_mm;
    balance.tipped_mm += tips * block.bucket_mm;
    depth_mm[i] = static_cast<float>(tips * block.bucket_mm);
  }
  balance.spilled_mm = funnel.spilled_mm();
  balance.stored_mm = funnel.stored_mm();
  balance.unread_mm += held_mm;
  return balance;
}

}  // namespace gaugeloom
