#include <algorithm>
#include <cmath>

#include "gaugeloom/core/parallel.hpp"
#include "interp/availability_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kPointsPerPiece = 1024;

std::uint64_t finite_bits(const float* values, std::size_t count) {
  std::uint64_t word = 0;
  for (std::size_t i = 0; i < count; ++i)
    word |= static_cast<std::uint64_t>(values[i] == values[i] ? 1 : 0) << i;
  return word;
}

// 64 bits from bit `first` on; bits past the end are 0.
std::uint64_t word_at(std::span<const std::uint64_t> row, std::size_t first) {
  const std::size_t word = first / 64;
  const std::size_t shift = first % 64;
  std::uint64_t bits = row[word] >> shift;
  if (shift != 0 && word + 1 < row.size()) bits |= row[word + 1] << (64 - shift);
  return bits;
}

}  // namespace

AvailabilityBits availability(const FieldRecord& record, std::span<const std::uint64_t> usable_bits,
                              std::size_t first_step, std::size_t steps, int threads) {
  AvailabilityBits result;
  result.words = (steps + 63) / 64;
  result.bits.resize(record.points * result.words);
  const std::size_t record_words = (record.steps + 63) / 64;
  const std::size_t pieces = (record.points + kPointsPerPiece - 1) / kPointsPerPiece;
  parallel_for(pieces, threads, [&](std::size_t piece) {
    const std::size_t last = std::min(record.points, (piece + 1) * kPointsPerPiece);
    for (std::size_t p = piece * kPointsPerPiece; p < last; ++p) {
      const float* values = record.values.data() + p * record.steps + first_step;
      for (std::size_t w = 0; w < result.words; ++w) {
        std::uint64_t word =
            finite_bits(values + 64 * w, std::min<std::size_t>(64, steps - 64 * w));
        if (!usable_bits.empty())
          word &= word_at(usable_bits.subspan(p * record_words, record_words), first_step + 64 * w);
        result.bits[p * result.words + w] = word;
      }
    }
  });
  return result;
}

void transpose_bits(std::uint64_t* words) {
  std::uint64_t mask = 0x00000000ffffffffU;
  for (std::size_t width = 32; width != 0; width /= 2, mask ^= mask << width) {
    for (std::size_t base = 0; base < 64; base += 2 * width) {
      for (std::size_t i = base; i < base + width; ++i) {
        const std::uint64_t swap = ((words[i] >> width) ^ words[i + width]) & mask;
        words[i] ^= swap << width;
        words[i + width] ^= swap;
      }
    }
  }
}

}  // namespace gaugeloom
