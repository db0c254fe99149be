#pragma once
// Eight kriging systems at once, one per vector lane, that grow by one neighbour at a time.
//
// With A = [0 1'; 1 C] the bordered matrix of the neighbours so far and B its inverse, a further
// neighbour with covariances a = (1, c) and variance v is first kriged from them: l = B a, and
// s = v - a'l is its kriging variance. Then
//   B' = [B + l l'/s, -l/s; -l'/s, 1/s]        (inverse of a bordered matrix)
// and the target's solution x = B (1, t) becomes (x - l r/s, r/s) with r = t_new - a'x, its kriging
// variance V - r^2/s. Removing neighbours M again is as simple: with g = B_MM^-1 x_M the solution
// of the rest is x - B_.M g and its variance V + x_M'g, which costs a few multiplications per
// weight. Source: block inversion, e.g. N. Cressie, Statistics for Spatial Data, 1993, p. 134 f.

#include <cstddef>
#include <cstdint>
#include <new>
#include <vector>

#include "gaugeloom/core/vector_level.hpp"

namespace gaugeloom {

inline constexpr std::size_t kLanes = 8;
// The compiler aligns Lanes to 64 bytes only where AVX-512 is switched on: single ones are declared
// with kLaneAlignment, many live in a LaneVector.
inline constexpr std::size_t kLaneAlignment = 64;
using Lanes = double __attribute__((vector_size(64)));

template <class T>
struct LaneAllocator {
  using value_type = T;
  LaneAllocator() = default;
  template <class U>
  explicit LaneAllocator(const LaneAllocator<U>&) {}
  T* allocate(std::size_t count) {
    return static_cast<T*>(::operator new (count * sizeof(T), std::align_val_t{kLaneAlignment}));
  }
  void deallocate(T* block, std::size_t) noexcept {
    ::operator delete (block, std::align_val_t{kLaneAlignment});
  }
  bool operator==(const LaneAllocator&) const = default;
};
using LaneVector = std::vector<Lanes, LaneAllocator<Lanes>>;

// How a further neighbour changes eight systems of `size` unknowns.
struct LaneGrowth {
  LaneVector solution;                     // l, of the size before
  alignas(kLaneAlignment) Lanes spread;    // s
  alignas(kLaneAlignment) Lanes residual;  // r
};

struct LaneSystem {
  std::size_t size = 0;  // unknowns: the Lagrange multiplier at 0, then the neighbours
  LaneVector inverse;    // B, lower triangle by rows
  LaneVector target;     // x
  alignas(kLaneAlignment) Lanes variance;  // V

  Lanes& at(std::size_t row, std::size_t column) { return inverse[row * (row + 1) / 2 + column]; }
  const Lanes& at(std::size_t row, std::size_t column) const {
    return inverse[row * (row + 1) / 2 + column];
  }
  void reserve(std::size_t most);
};

// The system of the first neighbour: its variance v, covariance t with the target of variance c0.
void begin_system(LaneSystem& system, const Lanes& variance, const Lanes& to_target,
                  const Lanes& target_variance);

// What a further neighbour will change: `to_others` are its covariances with the neighbours so far,
// system.size of them with 1 in front.
void find_growth(VectorLevel level, const LaneSystem& system, const Lanes* to_others,
                 const Lanes& variance, const Lanes& to_target, LaneGrowth& growth);
void apply_growth(VectorLevel level, LaneSystem& system, const LaneGrowth& growth);

// sums[i] = weights[0] rows[0][i] + weights[1] rows[1][i] + ..., added in this order, i < count.
void weighted_rows(VectorLevel level, const float* const* rows, const double* weights,
                   std::size_t row_count, std::size_t count, double* sums);

}  // namespace gaugeloom
