#include "gaugeloom/expect/law_values.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

LawValues small() { return {{{"p", {0.25, 1}}}, {{"factor", {{2, 3, 5}, 1}}}}; }

TEST(LawValues, GivesTheListsItHolds) {
  EXPECT_EQ(small().list("p", 2, {0, 1}), (std::vector<double>{0.25, 1}));
  EXPECT_EQ(small().list("p", {0, 1}).size(), 2U);
  EXPECT_EQ(small().per_gauge("factor", {1, 5}).size(), 3U);
}

TEST(LawValues, RefusesWhatALawCannotHold) {
  const LawValues values = small();
  EXPECT_THROW(values.list("q", {0, 1}), Error);
  EXPECT_THROW(values.list("p", 3, {0, 1}), Error);
  EXPECT_THROW(values.list("p", 2, {0.5, 1}), Error);
  EXPECT_THROW(values.per_gauge("p", {0, 1}), Error);
  EXPECT_THROW(values.per_gauge("factor", {0, 4}), Error);
  LawValues odd = small();
  odd.lists["p"][1] = std::nan("");
  EXPECT_THROW(odd.list("p", 2, {0, 1}), Error);
}

TEST(LawValues, FollowsTheGauges) {
  const std::vector<std::optional<std::size_t>> rows{2, std::nullopt, 0};
  const LawValues other = small().for_gauges(rows);
  EXPECT_EQ(other.of_gauges.at("factor").values, (std::vector<double>{5, 1, 2}));
  EXPECT_EQ(other.lists, small().lists);
}

}  // namespace
}  // namespace gaugeloom
