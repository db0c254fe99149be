#include "gaugeloom/core/bulk_vector.hpp"

#include <gtest/gtest.h>

#include <cstdint>

namespace gaugeloom {
namespace {

TEST(BulkVector, HoldsWhatItIsGivenAtAnySize) {
  for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{1000000}}) {
    BulkVector<double> vector(count, 2.5);
    vector.push_back(1.5);
    vector.resize(count + 3);
    vector.resize(count + 5, 4.0);
    EXPECT_EQ(vector.front(), count > 0 ? 2.5 : 1.5);
    EXPECT_EQ(vector[count], 1.5);
    EXPECT_EQ(vector[count + 4], 4.0);
    const BulkVector<double> copy = vector;
    EXPECT_EQ(copy[count], 1.5);
  }
}

TEST(BulkVector, AlignsToACacheLine) {
  const BulkVector<char> small(3);
  EXPECT_EQ(reinterpret_cast<std::uintptr_t>(small.data()) % 64, 0U);
  const BulkVector<char> large(std::size_t{5} << 20);
  EXPECT_EQ(reinterpret_cast<std::uintptr_t>(large.data()) % (std::size_t{2} << 20), 0U);
}

}  // namespace
}  // namespace gaugeloom
