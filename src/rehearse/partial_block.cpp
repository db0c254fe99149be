#include "gaugeloom/rehearse/partial_block.hpp"

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr double kMostPartH = 1.0 / 12;
constexpr double kWholeTip = 1e-9;  // of a bucket: what rounding may take from it

class Funnel {
 public:
  Funnel(const PartialBlock& block, double step_h)
      : block_(block),
        parts_(std::max(1, static_cast<int>(std::ceil(step_h / kMostPartH - 1e-9)))),
        part_h_(step_h / parts_) {}

  // Rain of one step in, outflow of that step out.
  double pass(double rain_mm) {
    double out = 0;
    for (int part = 0; part < parts_; ++part) {
      stored_mm += rain_mm / parts_;
      const double rate = std::min(block_.cap_mm_h, stored_mm / block_.drain_h);
      const double through = std::min(stored_mm, rate * part_h_);
      stored_mm -= through;
      out += through;
      const double over = std::max(0.0, stored_mm - block_.store_mm);
      stored_mm -= over;
      spilled_mm += over;
    }
    return out;
  }

  double stored_mm = 0;
  double spilled_mm = 0;

 private:
  const PartialBlock& block_;
  int parts_;
  double part_h_;
};

}  // namespace

WaterBalance block_partly(std::span<float> depth_mm, StepAxis::Range blocked, double step_h,
                          const PartialBlock& block) {
  WaterBalance balance;
  Funnel funnel(block, step_h);
  double held_mm = 0;  // in the bucket
  for (std::size_t i = blocked.first; i < blocked.last; ++i) {
    if (std::isnan(depth_mm[i])) {
      balance.unread_mm += funnel.pass(0);
      continue;
    }
    balance.rained_mm += static_cast<double>(depth_mm[i]);
    held_mm += funnel.pass(static_cast<double>(depth_mm[i]));
    const double tips = std::floor(held_mm / block.bucket_mm + kWholeTip);
    held_mm -= tips * block.bucket_mm;
    balance.tipped_mm += tips * block.bucket_mm;
    depth_mm[i] = static_cast<float>(tips * block.bucket_mm);
  }
  balance.spilled_mm = funnel.spilled_mm;
  balance.stored_mm = funnel.stored_mm;
  balance.unread_mm += held_mm;
  return balance;
}

}  // namespace gaugeloom
