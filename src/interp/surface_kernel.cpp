#include "interp/surface_kernel_internal.hpp"

#include <immintrin.h>

#include <algorithm>
#include <limits>

#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/variogram.hpp"

// The loop that follows, unrolled; not under the sanitizers, whose checks would be repeated with it
// until the compiler takes minutes.
#define GAUGELOOM_PRAGMA(words) _Pragma(#words)
#define GAUGELOOM_UNROLL(times) GAUGELOOM_PRAGMA(GCC unroll times)
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#undef GAUGELOOM_UNROLL
#define GAUGELOOM_UNROLL(times)
#endif
#endif

namespace gaugeloom {
namespace {

namespace lanes_baseline {
constexpr int kLanes = 2;
typedef double V __attribute__((vector_size(16)));
typedef long long I __attribute__((vector_size(16)));
inline V square_root(V v) { return _mm_sqrt_pd(v); }
inline bool any(I mask) { return _mm_movemask_pd(reinterpret_cast<V>(mask)) != 0; }
#include "interp/surface_lanes.inl"
}  // namespace lanes_baseline

#if defined(__clang__)
#pragma clang attribute push(__attribute__((target("avx2"))), apply_to = function)
#else
#pragma GCC push_options
#pragma GCC target("avx2")
#endif
namespace lanes_avx2 {
constexpr int kLanes = 4;
typedef double V __attribute__((vector_size(32)));
typedef long long I __attribute__((vector_size(32)));
inline V square_root(V v) { return _mm256_sqrt_pd(v); }
inline bool any(I mask) { return _mm256_movemask_pd(reinterpret_cast<V>(mask)) != 0; }
#include "interp/surface_lanes.inl"
}  // namespace lanes_avx2
#if defined(__clang__)
#pragma clang attribute pop
#pragma clang attribute push(__attribute__((target("avx512f,avx512dq,avx512bw,avx512vl"))), \
                             apply_to = function)
#else
#pragma GCC pop_options
#pragma GCC push_options
#pragma GCC target("avx512f,avx512dq,avx512bw,avx512vl")
#endif
namespace lanes_avx512 {
constexpr int kLanes = 8;
typedef double V __attribute__((vector_size(64)));
typedef long long I __attribute__((vector_size(64)));
inline V square_root(V v) { return _mm512_maskz_sqrt_pd(0xFF, v); }
inline bool any(I mask) { return _mm512_movepi64_mask(reinterpret_cast<__m512i>(mask)) != 0; }
#include "interp/surface_lanes.inl"
}  // namespace lanes_avx512
#if defined(__clang__)
#pragma clang attribute pop
#else
#pragma GCC pop_options
#endif

}  // namespace

const SurfaceKernels& surface_kernels(VectorLevel level) {
  switch (level) {
    case VectorLevel::avx512:
      return lanes_avx512::kernels();
    case VectorLevel::avx2:
      return lanes_avx2::kernels();
    case VectorLevel::baseline:
      break;
  }
  return lanes_baseline::kernels();
}

}  // namespace gaugeloom
