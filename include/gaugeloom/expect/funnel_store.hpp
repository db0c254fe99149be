#pragma once
// The water in a funnel whose outlet is partly blocked: ds/dt = inflow - q - spill with
// q = min(cap, s / tau). A cap below the rain flattens peaks; a long tau drips on after the rain.
// Source: the linear reservoir of hydrology (e.g. V. T. Chow et al., Applied Hydrology, 1988,
// chapter 8; from memory) with a limit on its outflow and on its volume.

namespace gaugeloom {

// Depths are of the funnel's area: what the same water would be as rain.
struct FunnelOutlet {
  double cap_mm_h = 1;      // the most that passes; above 0
  double drain_h = 0.25;    // tau; above 0
  double capacity_mm = 50;  // what stands above spills and is lost; a common funnel, our choice
};

class FunnelStore {
 public:
  explicit FunnelStore(const FunnelOutlet& outlet, double stored_mm = 0)
      : outlet_(outlet), stored_mm_(stored_mm) {}

  // Lets `inflow_mm` fall evenly over `hours` and returns what passed; in parts of 6 minutes or
  // less, within which the inflow comes first. Law: inflow = passed + spilled + change of store.
  // Requires inflow_mm >= 0, hours > 0. Cost: one exponential.
  double pass(double inflow_mm, double hours);

  double stored_mm() const { return stored_mm_; }
  double spilled_mm() const { return spilled_mm_; }  // since the beginning

 private:
  FunnelOutlet outlet_;
  double stored_mm_;
  double spilled_mm_ = 0;
};

}  // namespace gaugeloom
