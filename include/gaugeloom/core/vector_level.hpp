#pragma once
// How wide the vector units are that hot loops use. One build runs on any x86-64: each hot loop is
// compiled once per level and picks at run time. Every lane does the same operations in the same
// order at every level, so that results agree to the last bit.

#include <optional>
#include <string_view>
#include <vector>

namespace gaugeloom {

enum class VectorLevel {
  baseline,  // what every x86-64 has: SSE2
  avx2,
  avx512,  // F, DQ, BW and VL
};

std::string_view word(VectorLevel level);  // "baseline", "avx2", "avx512"
std::optional<VectorLevel> parse_vector_level(std::string_view text);

// What this processor has, narrowest first; never empty.
const std::vector<VectorLevel>& supported_vector_levels();

// The level to use now: the widest supported one, unless the environment variable
// GAUGELOOM_VECTOR_LEVEL names another (for tests and measurements only; read at every call).
// Throws: Error{invalid_option} for a word that is no level, or a level the processor lacks.
VectorLevel vector_level();

}  // namespace gaugeloom

// Put these before a function: it is compiled for that level.
#define GAUGELOOM_TARGET_AVX2 __attribute__((target("avx2")))
#define GAUGELOOM_TARGET_AVX512 __attribute__((target("avx512f,avx512dq,avx512bw,avx512vl")))
// Put this before the shared body, so that it takes on the level of the function that calls it.
#define GAUGELOOM_INLINE_BODY __attribute__((always_inline)) inline
