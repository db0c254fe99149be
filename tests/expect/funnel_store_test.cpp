#include "gaugeloom/expect/funnel_store.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(FunnelStore, KeepsTheWaterThatFell) {
  FunnelStore store({.cap_mm_h = 1.5, .drain_h = 0.5, .capacity_mm = 10}, 2);
  double fallen = 0;
  double passed = 0;
  for (const double inflow : {0.0, 4.0, 30.0, 0.2, 0.0, 0.0, 7.5}) {
    fallen += inflow;
    passed += store.pass(inflow, 1);
  }
  EXPECT_GT(store.spilled_mm(), 0);
  EXPECT_NEAR(2 + fallen, passed + store.spilled_mm() + store.stored_mm(), 1e-9);  // rounding
}

TEST(FunnelStore, PassesNoMoreThanItsCap) {
  FunnelStore store({.cap_mm_h = 1.5, .drain_h = 0.01});
  for (int hour = 0; hour < 5; ++hour) EXPECT_NEAR(store.pass(20, 1), 1.5, 1e-12);
}

TEST(FunnelStore, LetsLightRainThrough) {
  FunnelStore store({.cap_mm_h = 1.5, .drain_h = 0.01});
  EXPECT_NEAR(store.pass(1.0, 1), 1.0, 1e-4);  // but what stands in it at the end
}

// The linear reservoir: without a cap and inflow the store falls as exp(-t / tau).
TEST(FunnelStore, DrainsAsALinearReservoirBelowItsCap) {
  FunnelStore store({.cap_mm_h = 1000, .drain_h = 2}, 8);
  const double passed = store.pass(0, 3);
  EXPECT_NEAR(store.stored_mm(), 8 * std::exp(-1.5), 1e-12);
  EXPECT_NEAR(passed, 8 - 8 * std::exp(-1.5), 1e-12);
}

TEST(FunnelStore, SpillsAboveItsCapacity) {
  FunnelStore store({.cap_mm_h = 0.1, .drain_h = 0.1, .capacity_mm = 50});
  store.pass(80, 1);
  EXPECT_NEAR(store.stored_mm(), 50, 1e-9);
  EXPECT_NEAR(store.spilled_mm(), 29.9, 1e-9);
}

}  // namespace
}  // namespace gaugeloom
