#pragma once
// Which points are usable at which steps, as bits, and the sets of neighbours they make.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/interp/field_record.hpp"

namespace gaugeloom {

// Bit i % 64 of word i / 64 of a point stands for step first_step + i; unused bits are 0.
struct AvailabilityBits {
  std::size_t words = 0;  // per point
  std::vector<std::uint64_t> bits;

  const std::uint64_t* row(std::size_t point) const { return bits.data() + point * words; }
  bool test(std::size_t point, std::size_t step) const {
    return ((bits[point * words + step / 64] >> (step % 64)) & 1U) != 0;
  }
};

// Finite values whose bit in `usable_bits` is set (every one where that is empty), for steps
// [first_step, first_step + steps).
AvailabilityBits availability(const FieldRecord& record, std::span<const std::uint64_t> usable_bits,
                              std::size_t first_step, std::size_t steps, int threads);

// Bit j of word i changes places with bit i of word j. Source: H. S. Warren, Hacker's Delight,
// 2nd ed. 2012, section 7-3.
void transpose_bits(std::uint64_t* words);

inline std::uint64_t lowest_bits(std::size_t count) {
  return count >= 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << count) - 1;
}

// The `count` lowest set bits; all of them where there are fewer.
inline std::uint64_t first_set_bits(std::uint64_t bits, std::size_t count) {
  std::uint64_t chosen = bits & lowest_bits(count);
  std::uint64_t missing = ~bits & lowest_bits(count);
  std::uint64_t further = bits & ~lowest_bits(count);
  while (missing != 0 && further != 0) {
    chosen |= further & (~further + 1);
    further &= further - 1;
    missing &= missing - 1;
  }
  return chosen;
}

}  // namespace gaugeloom
