#include "gaugeloom/geo/gauge_index.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

const std::vector<MetricPoint> kFour = {{3, 4}, {0, 0}, {-3, -4}, {6, 8}};

TEST(GaugeIndex, SortsByDistanceAndThenByIndex) {
  for (const Search search : {Search::tree, Search::brute_force}) {
    const GaugeIndex index(kFour, search);
    const auto got = index.nearest({0, 0}, 4);
    const std::vector<Neighbour> want = {{1, 0}, {0, 5}, {2, 5}, {3, 10}};
    EXPECT_EQ(got, want);
  }
}

TEST(GaugeIndex, KeepsTheLowerIndexOfATieAtTheEnd) {
  const GaugeIndex index(kFour);
  const std::vector<Neighbour> want = {{1, 0}, {0, 5}};
  EXPECT_EQ(index.nearest({0, 0}, 2), want);
}

TEST(GaugeIndex, LeavesOutWhatIsNotAvailable) {
  const GaugeIndex index(kFour);
  const std::vector<std::uint64_t> bits = {0b1100};
  const std::vector<Neighbour> want = {{2, 5}, {3, 10}};
  EXPECT_EQ(index.nearest_available({0, 0}, 3, bits), want);
}

TEST(GaugeIndex, CountsTheBoundOfARadiusIn) {
  const GaugeIndex index(kFour);
  EXPECT_EQ(index.within({0, 0}, 5).size(), 3U);
  EXPECT_EQ(index.within({0, 0}, 4.999).size(), 1U);
}

TEST(GaugeIndex, KeepsItsOwnCopyOfThePoints) {
  auto points = kFour;
  const GaugeIndex index(points);
  points.assign(4, {1e9, 1e9});
  EXPECT_EQ(index.nearest({0, 0}, 1).front().index, 1U);
  GaugeIndex moved(std::vector<MetricPoint>{{7, 7}});
  moved = GaugeIndex(kFour);
  EXPECT_EQ(moved.nearest({6, 8}, 1).front().index, 3U);
  EXPECT_EQ(moved.size(), 4U);
}

}  // namespace
}  // namespace gaugeloom
