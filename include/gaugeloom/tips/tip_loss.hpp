#pragma once
// Water that passes a bucket while it turns.
// Source: C. Duchon, C. Fiebrich and D. Grimsley, J. Atmos. Oceanic Technol. 31 (2014): a loss time
// of 0.450 s per tip.

namespace gaugeloom {

inline constexpr double kLossTimeS = 0.45;
// 31.2 mm in one minute, the most ever measured (WMO Archive of Weather and Climate Extremes).
inline constexpr double kRecordMinuteMmH = 60 * 31.2;

// True rain of one tip over what it indicates. With T the time since the tip before and td the loss
// time, water fell at I = 3600 b / (T - td) mm/h, T seconds long: factor T / (T - td). Where T
// comes near td the factor is held at that of kRecordMinuteMmH.
//
// Laws (each one is a test): (1) with tips as tip_interval_s() gives them, factor * b over T is
//   exactly the rain, to 1e-12; (2) the factor falls with T; (3) td = 0 gives 1.
// Requires: between_tips_s > 0, bucket_mm > 0, loss_time_s >= 0.
double tip_loss_factor(double between_tips_s, double bucket_mm, double loss_time_s);

// Shortest time between tips that is believed: the one at kRecordMinuteMmH.
double least_tip_interval_s(double bucket_mm, double loss_time_s);
// Seconds between tips in steady rain of `true_mm_h` > 0: filling, then turning.
double tip_interval_s(double true_mm_h, double bucket_mm, double loss_time_s);

}  // namespace gaugeloom
