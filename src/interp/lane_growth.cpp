#include "interp/lane_growth_internal.hpp"

#include <cstring>

namespace gaugeloom {
namespace {

GAUGELOOM_INLINE_BODY void find_growth_body(const LaneSystem& system, const Lanes* to_others,
                                            const Lanes& variance, const Lanes& to_target,
                                            LaneGrowth& growth) {
  Lanes* solution = growth.solution.data();
  const Lanes* entry = system.inverse.data();
  for (std::size_t i = 0; i < system.size; ++i) {
    const Lanes other = to_others[i];
    Lanes sum = {};
    for (std::size_t j = 0; j < i; ++j) {
      sum += entry[j] * to_others[j];
      solution[j] += entry[j] * other;
    }
    solution[i] = sum + entry[i] * other;
    entry += i + 1;
  }
  Lanes spread = variance;
  Lanes residual = to_target;
  for (std::size_t i = 0; i < system.size; ++i) {
    spread -= to_others[i] * solution[i];
    residual -= to_others[i] * system.target[i];
  }
  growth.spread = spread;
  growth.residual = residual;
}

GAUGELOOM_INLINE_BODY void apply_growth_body(LaneSystem& system, const LaneGrowth& growth) {
  const Lanes* solution = growth.solution.data();
  const Lanes inverse_spread = 1.0 / growth.spread;
  const Lanes step = growth.residual * inverse_spread;
  Lanes* entry = system.inverse.data();
  Lanes* new_row = entry + system.size * (system.size + 1) / 2;
  for (std::size_t i = 0; i < system.size; ++i) {
    const Lanes scaled = solution[i] * inverse_spread;
    for (std::size_t j = 0; j <= i; ++j) entry[j] += scaled * solution[j];
    entry += i + 1;
    new_row[i] = -scaled;
    system.target[i] -= solution[i] * step;
  }
  new_row[system.size] = inverse_spread;
  system.target[system.size] = step;
  system.variance -= growth.residual * step;
  ++system.size;
}

GAUGELOOM_INLINE_BODY void weighted_rows_body(const float* const* rows, const double* weights,
                                              std::size_t row_count, std::size_t count,
                                              double* sums) {
  std::size_t i = 0;
  for (; i + kLanes <= count; i += kLanes) {
    Lanes sum = {};
    for (std::size_t r = 0; r < row_count; ++r) {
      FloatLanes values;
      std::memcpy(&values, rows[r] + i, sizeof values);
      sum += __builtin_convertvector(values, Lanes) * weights[r];
    }
    std::memcpy(sums + i, &sum, sizeof sum);
  }
  for (; i < count; ++i) {
    double sum = 0;
    for (std::size_t r = 0; r < row_count; ++r) sum += static_cast<double>(rows[r][i]) * weights[r];
    sums[i] = sum;
  }
}

// The three bodies, once per level. An attribute cannot stand in parentheses.
// NOLINTBEGIN(bugprone-macro-parentheses)
#define GAUGELOOM_LEVEL_FUNCTIONS(target, suffix)                                              \
  target void find_growth_##suffix(const LaneSystem& system, const Lanes* to_others,           \
                                   const Lanes& variance, const Lanes& to_target,              \
                                   LaneGrowth& growth) {                                       \
    find_growth_body(system, to_others, variance, to_target, growth);                          \
  }                                                                                            \
  target void apply_growth_##suffix(LaneSystem& system, const LaneGrowth& growth) {            \
    apply_growth_body(system, growth);                                                         \
  }                                                                                            \
  target void weighted_rows_##suffix(const float* const* rows, const double* weights,          \
                                     std::size_t row_count, std::size_t count, double* sums) { \
    weighted_rows_body(rows, weights, row_count, count, sums);                                 \
  }

GAUGELOOM_LEVEL_FUNCTIONS(, baseline)
GAUGELOOM_LEVEL_FUNCTIONS(GAUGELOOM_TARGET_AVX2, avx2)
GAUGELOOM_LEVEL_FUNCTIONS(GAUGELOOM_TARGET_AVX512, avx512)
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
