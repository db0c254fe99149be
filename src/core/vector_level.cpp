#include "gaugeloom/core/vector_level.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 3> kLevelWords = {"baseline", "avx2", "avx512"};
constexpr const char* kVariable = "GAUGELOOM_VECTOR_LEVEL";

std::vector<VectorLevel> detect() {
  std::vector<VectorLevel> levels = {VectorLevel::baseline};
  if (__builtin_cpu_supports("avx2")) levels.push_back(VectorLevel::avx2);
  if (levels.size() == 2 && __builtin_cpu_supports("avx512f") &&
      __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512bw") &&
      __builtin_cpu_supports("avx512vl")) {
    levels.push_back(VectorLevel::avx512);
  }
  return levels;
}

}  // namespace

std::string_view word(VectorLevel level) { return kLevelWords[static_cast<std::size_t>(level)]; }

std::optional<VectorLevel> parse_vector_level(std::string_view text) {
  for (std::size_t i = 0; i < kLevelWords.size(); ++i) {
    if (kLevelWords[i] == text) return static_cast<VectorLevel>(i);
  }
  return std::nullopt;
}

const std::vector<VectorLevel>& supported_vector_levels() {
  static const std::vector<VectorLevel> levels = detect();
  return levels;
}

VectorLevel vector_level() {
  const auto& levels = supported_vector_levels();
  const char* wanted = std::getenv(kVariable);
  if (wanted == nullptr || *wanted == '\0') return levels.back();
  const auto level = parse_vector_level(wanted);
  if (!level) {
    throw Error(ErrorCode::invalid_option, std::string(kVariable) + " is '" + wanted +
                                               "'; use baseline, avx2 or avx512, or unset it");
  }
  if (std::find(levels.begin(), levels.end(), *level) == levels.end()) {
    throw Error(ErrorCode::invalid_option, std::string(kVariable) + " asks for " + wanted +
                                               ", which this processor does not have");
  }
  return *level;
}

}  // namespace gaugeloom
