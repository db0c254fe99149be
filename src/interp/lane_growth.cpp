#include "interp/lane_growth_internal.hpp"

#include <cstring>

namespace gaugeloom {
namespace {

// Doubles that the instructions of a level hold in one register. Lanes wider than that would live
// in memory between operations, so the bodies split them into parts themselves.
template <std::size_t kWidth>
struct Register;
template <>
struct Register<2> {
  using Doubles = double __attribute__((vector_size(16)));
  using Floats = float __attribute__((vector_size(8)));
};
template <>
struct Register<4> {
  using Doubles = double __attribute__((vector_size(32)));
  using Floats = float __attribute__((vector_size(16)));
};
template <>
struct Register<8> {
  using Doubles = double __attribute__((vector_size(64)));
  using Floats = float __attribute__((vector_size(32)));
};

template <std::size_t kWidth>
struct Parts {
  static constexpr std::size_t kCount = kLanes / kWidth;
  using Part = typename Register<kWidth>::Doubles;
  using FloatPart = typename Register<kWidth>::Floats;

  Part part[kCount];

  // Part by part: the compiler would copy the whole through memory.
  GAUGELOOM_INLINE_BODY static Parts load(const void* from) {
    Parts parts;
    for (std::size_t p = 0; p < kCount; ++p)
      std::memcpy(&parts.part[p], static_cast<const double*>(from) + p * kWidth, sizeof(Part));
    return parts;
  }
  GAUGELOOM_INLINE_BODY void store(void* to) const {
    for (std::size_t p = 0; p < kCount; ++p)
      std::memcpy(static_cast<double*>(to) + p * kWidth, &part[p], sizeof(Part));
  }
  GAUGELOOM_INLINE_BODY static Parts load_floats(const float* from) {
    Parts parts;
    for (std::size_t p = 0; p < kCount; ++p) {
      FloatPart floats;
      std::memcpy(&floats, from + p * kWidth, sizeof floats);
      parts.part[p] = __builtin_convertvector(floats, Part);
    }
    return parts;
  }
  GAUGELOOM_INLINE_BODY Parts& operator+=(const Parts& other) {
    for (std::size_t p = 0; p < kCount; ++p) part[p] += other.part[p];
    return *this;
  }
  GAUGELOOM_INLINE_BODY Parts& operator-=(const Parts& other) {
    for (std::size_t p = 0; p < kCount; ++p) part[p] -= other.part[p];
    return *this;
  }
  GAUGELOOM_INLINE_BODY friend Parts operator*(const Parts& a, const Parts& b) {
    Parts product;
    for (std::size_t p = 0; p < kCount; ++p) product.part[p] = a.part[p] * b.part[p];
    return product;
  }
  GAUGELOOM_INLINE_BODY friend Parts operator*(const Parts& a, double b) {
    Parts product;
    for (std::size_t p = 0; p < kCount; ++p) product.part[p] = a.part[p] * b;
    return product;
  }
};

template <std::size_t kWidth>
GAUGELOOM_INLINE_BODY void find_growth_body(const LaneSystem& system, const Lanes* to_others,
                                            const Lanes& variance, const Lanes& to_target,
                                            LaneGrowth& growth) {
  using P = Parts<kWidth>;
  Lanes* solution = growth.solution.data();
  const Lanes* entry = system.inverse.data();
  for (std::size_t i = 0; i < system.size; ++i) {
    const P other = P::load(to_others + i);
    P sum = {};
    for (std::size_t j = 0; j < i; ++j) {
      const P coefficient = P::load(entry + j);
      sum += coefficient * P::load(to_others + j);
      P updated = P::load(solution + j);
      updated += coefficient * other;
      updated.store(solution + j);
    }
    sum += P::load(entry + i) * other;
    sum.store(solution + i);
    entry += i + 1;
  }
  P spread = P::load(&variance);
  P residual = P::load(&to_target);
  for (std::size_t i = 0; i < system.size; ++i) {
    const P other = P::load(to_others + i);
    spread -= other * P::load(solution + i);
    residual -= other * P::load(system.target.data() + i);
  }
  spread.store(&growth.spread);
  residual.store(&growth.residual);
}

template <std::size_t kWidth>
GAUGELOOM_INLINE_BODY void apply_growth_body(LaneSystem& system, const LaneGrowth& growth) {
  using P = Parts<kWidth>;
  const Lanes* solution = growth.solution.data();
  const Lanes inverse_spread = 1.0 / growth.spread;
  const Lanes step = growth.residual * inverse_spread;
  Lanes* entry = system.inverse.data();
  Lanes* new_row = entry + system.size * (system.size + 1) / 2;
  for (std::size_t i = 0; i < system.size; ++i) {
    const P scaled = P::load(solution + i) * P::load(&inverse_spread);
    for (std::size_t j = 0; j <= i; ++j) {
      P updated = P::load(entry + j);
      updated += scaled * P::load(solution + j);
      updated.store(entry + j);
    }
    entry += i + 1;
    (scaled * -1.0).store(new_row + i);
    P target = P::load(system.target.data() + i);
    target -= P::load(solution + i) * P::load(&step);
    target.store(system.target.data() + i);
  }
  new_row[system.size] = inverse_spread;
  system.target[system.size] = step;
  system.variance -= growth.residual * step;
  ++system.size;
}

// Several groups of lanes at a time, so that their sums do not wait for each other.
template <std::size_t kWidth, std::size_t kGroups>
GAUGELOOM_INLINE_BODY void weighted_group(const float* const* rows, const double* weights,
                                          std::size_t row_count, std::size_t first, double* sums) {
  using P = Parts<kWidth>;
  P sum[kGroups] = {};
  for (std::size_t r = 0; r < row_count; ++r) {
    const double weight = weights[r];
    const float* const from = rows[r] + first;
    for (std::size_t g = 0; g < kGroups; ++g) sum[g] += P::load_floats(from + g * kLanes) * weight;
  }
  for (std::size_t g = 0; g < kGroups; ++g) sum[g].store(sums + first + g * kLanes);
}

template <std::size_t kWidth>
GAUGELOOM_INLINE_BODY void weighted_rows_body(const float* const* rows, const double* weights,
                                              std::size_t row_count, std::size_t count,
                                              double* sums) {
  constexpr std::size_t kGroups = kWidth / 2;  // as many registers as every level has
  std::size_t i = 0;
  for (; i + kGroups * kLanes <= count; i += kGroups * kLanes)
    weighted_group<kWidth, kGroups>(rows, weights, row_count, i, sums);
  for (; i + kLanes <= count; i += kLanes)
    weighted_group<kWidth, 1>(rows, weights, row_count, i, sums);
  for (; i < count; ++i) {
    double sum = 0;
    for (std::size_t r = 0; r < row_count; ++r) sum += static_cast<double>(rows[r][i]) * weights[r];
    sums[i] = sum;
  }
}

// The three bodies, once per level. An attribute cannot stand in parentheses.
// NOLINTBEGIN(bugprone-macro-parentheses)
#define GAUGELOOM_LEVEL_FUNCTIONS(target, suffix, width)                                       \
  target void find_growth_##suffix(const LaneSystem& system, const Lanes* to_others,           \
                                   const Lanes& variance, const Lanes& to_target,              \
                                   LaneGrowth& growth) {                                       \
    find_growth_body<width>(system, to_others, variance, to_target, growth);                   \
  }                                                                                            \
  target void apply_growth_##suffix(LaneSystem& system, const LaneGrowth& growth) {            \
    apply_growth_body<width>(system, growth);                                                  \
  }                                                                                            \
  target void weighted_rows_##suffix(const float* const* rows, const double* weights,          \
                                     std::size_t row_count, std::size_t count, double* sums) { \
    weighted_rows_body<width>(rows, weights, row_count, count, sums);                          \
  }

GAUGELOOM_LEVEL_FUNCTIONS(, baseline, 2)
GAUGELOOM_LEVEL_FUNCTIONS(GAUGELOOM_TARGET_AVX2, avx2, 4)
GAUGELOOM_LEVEL_FUNCTIONS(GAUGELOOM_TARGET_AVX512, avx512, 8)
#undef GAUGELOOM_LEVEL_FUNCTIONS
// NOLINTEND(bugprone-macro-parentheses)

}  // namespace

void LaneSystem::reserve(std::size_t most) {
  inverse.resize(most * (most + 1) / 2);
  target.resize(most);
}

void begin_system(LaneSystem& system, const Lanes& variance, const Lanes& to_target,
                  const Lanes& target_variance) {
  system.size = 2;
  system.inverse[0] = -variance;
  system.inverse[1] = 1.0 + Lanes{};
  system.inverse[2] = Lanes{};
  system.target[0] = to_target - variance;
  system.target[1] = 1.0 + Lanes{};
  system.variance = target_variance - 2.0 * to_target + variance;
}

void find_growth(VectorLevel level, const LaneSystem& system, const Lanes* to_others,
                 const Lanes& variance, const Lanes& to_target, LaneGrowth& growth) {
  growth.solution.resize(system.size);
  switch (level) {
    case VectorLevel::avx512:
      return find_growth_avx512(system, to_others, variance, to_target, growth);
    case VectorLevel::avx2:
      return find_growth_avx2(system, to_others, variance, to_target, growth);
    case VectorLevel::baseline:
      break;
  }
  find_growth_baseline(system, to_others, variance, to_target, growth);
}

void apply_growth(VectorLevel level, LaneSystem& system, const LaneGrowth& growth) {
  switch (level) {
    case VectorLevel::avx512:
      return apply_growth_avx512(system, growth);
    case VectorLevel::avx2:
      return apply_growth_avx2(system, growth);
    case VectorLevel::baseline:
      break;
  }
  apply_growth_baseline(system, growth);
}

void weighted_rows(VectorLevel level, const float* const* rows, const double* weights,
                   std::size_t row_count, std::size_t count, double* sums) {
  switch (level) {
    case VectorLevel::avx512:
      return weighted_rows_avx512(rows, weights, row_count, count, sums);
    case VectorLevel::avx2:
      return weighted_rows_avx2(rows, weights, row_count, count, sums);
    case VectorLevel::baseline:
      break;
  }
  weighted_rows_baseline(rows, weights, row_count, count, sums);
}

}  // namespace gaugeloom
