#pragma once
// A small 64-bit hash, the same on every machine: keys for caches, seeds and ids. Not
// cryptographic.

#include <cstdint>
#include <string_view>

namespace gaugeloom {

// FNV-1a of the bytes. Source: Fowler, Noll and Vo, IETF draft draft-eastlake-fnv.
std::uint64_t hash_bytes(std::string_view bytes) noexcept;

// Mixes one 64-bit word well enough that neighbouring inputs look unrelated (the finaliser of
// splitmix64; G. Steele, D. Lea, C. Flood, OOPSLA 2014).
std::uint64_t mix_bits(std::uint64_t word) noexcept;

// A number in [0, 1) from a seed and two keys (say, gauge and step): the same whatever the order
// or the thread it is asked in.
double keyed_uniform(std::uint64_t seed, std::uint64_t first_key,
                     std::uint64_t second_key) noexcept;

}  // namespace gaugeloom
