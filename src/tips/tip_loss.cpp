#include "gaugeloom/tips/tip_loss.hpp"

#include <algorithm>

namespace gaugeloom {

double tip_interval_s(double true_mm_h, double bucket_mm, double loss_time_s) {
  return 3600 * bucket_mm / true_mm_h + loss_time_s;
}

double least_tip_interval_s(double bucket_mm, double loss_time_s) {
  return tip_interval_s(kRecordMinuteMmH, bucket_mm, loss_time_s);
}

double tip_loss_factor(double between_tips_s, double bucket_mm, double loss_time_s) {
  const double interval_s = std::max(between_tips_s, least_tip_interval_s(bucket_mm, loss_time_s));
  return interval_s / (interval_s - loss_time_s);
}

}  // namespace gaugeloom
