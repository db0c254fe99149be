#pragma once
// The standard normal law with the same bits on every processor.
// Source: M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, formula
// 26.2.17, from memory; a test compares with the C library.

namespace gaugeloom {

// The share of the law below z; error below 1e-7. Never falls with z by more than that.
double normal_share(double z) noexcept;

// The z with that share below it, 0 < share < 1: where normal_share crosses it, within 1e-12.
// Cost: 45 calls of normal_share.
double normal_quantile(double share) noexcept;

}  // namespace gaugeloom
