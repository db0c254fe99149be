#include "gaugeloom/core/parallel.hpp"

#include <gtest/gtest.h>

#include <stdexcept>
#include <vector>

namespace gaugeloom {
namespace {

TEST(ParallelFor, CallsEachPieceOnce) {
  for (const int threads : {0, 1, 2, 7}) {
    std::vector<int> calls(1000, 0);
    parallel_for(calls.size(), threads, [&](std::size_t i) { ++calls[i]; });
    for (const int count : calls) EXPECT_EQ(count, 1);
  }
}

TEST(ParallelFor, PassesOnTheFirstError) {
  for (const int threads : {1, 3})
    EXPECT_THROW(parallel_for(50, threads,
                              [](std::size_t i) {
                                if (i == 7) throw std::runtime_error("seven");
                              }),
                 std::runtime_error);
}

}  // namespace
}  // namespace gaugeloom
