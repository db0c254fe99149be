#include <gtest/gtest.h>

#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

const Variogram kModel{.nugget = 0.1, .partial_sill = 0.9, .range_m = 25000};

class LeaveOneOutLaw : public testing::Test {
 protected:
  LeaveOneOutLaw() {
    Random random("LeaveOneOutLawDepths");
    for (std::size_t i = 0; i < net.gauges.size(); ++i) depths.push_back(random.exponential(5));
  }
  support::RandomNetwork net = support::random_network("LeaveOneOutLaw", 40);
  std::vector<double> depths;
};

TEST_F(LeaveOneOutLaw, IgnoresTheValueOfTheGaugeItself) {
  const auto before = leave_one_out_kriging(net.gauges, depths, {}, kModel);
  const auto idw_before = leave_one_out_inverse_distance(net.gauges, depths);
  const auto all_before = leave_one_out_kriging_closed_form(net.gauges, depths, {}, kModel);
  for (const std::size_t i : {std::size_t{0}, std::size_t{17}, std::size_t{39}}) {
    auto changed = depths;
    changed[i] += 100;
    EXPECT_EQ(leave_one_out_kriging(net.gauges, changed, {}, kModel)[i].value, before[i].value);
    EXPECT_EQ(leave_one_out_inverse_distance(net.gauges, changed)[i].value, idw_before[i].value);
    EXPECT_NEAR(leave_one_out_kriging_closed_form(net.gauges, changed, {}, kModel)[i].value,
                all_before[i].value, 1e-10);
  }
}

TEST_F(LeaveOneOutLaw, KeepsAConstantField) {
  const std::vector<double> same(depths.size(), 4.5);
  for (const auto& estimates : {leave_one_out_kriging(net.gauges, same, {}, kModel),
                                leave_one_out_kriging_closed_form(net.gauges, same, {}, kModel),
                                leave_one_out_inverse_distance(net.gauges, same)})
    for (const Estimate& e : estimates) EXPECT_NEAR(e.value, 4.5, 1e-11);
}

}  // namespace
}  // namespace gaugeloom
