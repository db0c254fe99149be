#include "gaugeloom/core/hash.hpp"

namespace gaugeloom {

std::uint64_t hash_bytes(std::string_view bytes) noexcept {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : bytes) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 1099511628211ULL;
  }
  return hash;
}

std::uint64_t mix_bits(std::uint64_t word) noexcept {
  word += 0x9e3779b97f4a7c15ULL;
  word = (word ^ (word >> 30)) * 0xbf58476d1ce4e5b9ULL;
  word = (word ^ (word >> 27)) * 0x94d049bb133111ebULL;
  return word ^ (word >> 31);
}

double keyed_uniform(std::uint64_t seed, std::uint64_t first_key,
                     std::uint64_t second_key) noexcept {
  const std::uint64_t bits = mix_bits(mix_bits(mix_bits(seed) ^ first_key) ^ second_key);
  return static_cast<double>(bits >> 11) * 0x1.0p-53;
}

}  // namespace gaugeloom
