#include "gaugeloom/interp/normal_ratio.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

void require_normal(double normal) {
  if (normal > 0 && normal < std::numeric_limits<double>::infinity()) return;
  throw Error(ErrorCode::invalid_option,
              fmt::format("a normal is {}; the normal ratio needs normals above 0", normal));
}

}  // namespace

std::vector<double> normal_ratio_weights(double target_normal, std::span<const double> normals) {
  require_normal(target_normal);
  std::vector<double> weights;
  for (const double normal : normals) {
    require_normal(normal);
    weights.push_back(target_normal / (static_cast<double>(normals.size()) * normal));
  }
  return weights;
}

double normal_ratio(double target_normal, std::span<const double> normals,
                    std::span<const double> depths) {
  GAUGELOOM_ASSERT(normals.size() == depths.size());
  std::vector<double> known_normals, known_depths;
  for (std::size_t i = 0; i < depths.size(); ++i) {
    if (depths[i] != depths[i]) continue;
    known_normals.push_back(normals[i]);
    known_depths.push_back(depths[i]);
  }
  if (known_depths.empty()) return std::numeric_limits<double>::quiet_NaN();
  const auto weights = normal_ratio_weights(target_normal, known_normals);
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) sum += weights[i] * known_depths[i];
  return sum;
}

bool normals_alike(double target_normal, std::span<const double> normals, double tolerance) {
  return std::all_of(normals.begin(), normals.end(), [&](double normal) {
    const double difference =
        normal > target_normal ? normal - target_normal : target_normal - normal;
    return difference <= tolerance * target_normal;
  });
}

}  // namespace gaugeloom
