#pragma once
// The tabular cumulative sum: it tells small lasting shifts of a standardised series.

namespace gaugeloom {

// Two sums, of what exceeds `allowance` above and below, each never under 0. With an allowance of
// half a standard deviation and a limit of 5 a series without a shift passes it once in 465 values
// on average, one that shifted by a standard deviation after 10.4.
//
// Source: E. Page, Biometrika 41, 1954; run lengths in D. Montgomery, Introduction to Statistical
// Quality Control.
class Cusum {
 public:
  explicit Cusum(double allowance = 0.5) : allowance_(allowance) {}

  // Takes the next value (finite, in standard deviations from where it should be).
  void add(double z);
  double above() const { return above_; }
  double level() const { return above_ > below_ ? above_ : below_; }

 private:
  double allowance_;
  double above_ = 0;
  double below_ = 0;
};

}  // namespace gaugeloom
