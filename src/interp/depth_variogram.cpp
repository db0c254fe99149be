#include "gaugeloom/interp/depth_variogram.hpp"

#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

struct FieldSums {
  std::size_t values = 0;
  double sum = 0;
  double squares = 0;
};

Variogram refined(Variogram variogram, const VariogramParts& parts) {
  variogram.shape = parts.shape.value_or(variogram.shape);
  variogram.nugget = parts.nugget.value_or(variogram.nugget);
  variogram.partial_sill = parts.partial_sill.value_or(variogram.partial_sill);
  variogram.range_m = parts.range_m.value_or(variogram.range_m);
  variogram.smoothness = parts.smoothness.value_or(variogram.smoothness);
  if (const auto problem = variogram.problem()) throw Error(ErrorCode::invalid_option, *problem);
  return variogram;
}

}  // namespace

double mean_field_variance(const FieldRecord& depths) {
  std::vector<FieldSums> fields(depths.steps);
  for (std::size_t p = 0; p < depths.points; ++p) {
    const auto row = depths.row(p);
    for (std::size_t t = 0; t < depths.steps; ++t) {
      if (row[t] != row[t]) continue;
      const auto depth = static_cast<double>(row[t]);
      ++fields[t].values;
      fields[t].sum += depth;
      fields[t].squares += depth * depth;
    }
  }
  double total = 0;
  double wet_fields = 0;
  for (const FieldSums& field : fields) {
    if (field.values < 2 || field.sum <= 0) continue;
    const auto count = static_cast<double>(field.values);
    total += (field.squares - field.sum * field.sum / count) / (count - 1);
    ++wet_fields;
  }
  return wet_fields > 0 && total > 0 ? total / wet_fields : 1.0;
}

DepthVariogram depth_variogram(const ClimatologicalVariogram& scaled, double variance_mm2,
                               const VariogramParts& parts) {
  if (parts.complete()) return {refined({}, parts), VariogramOrigin::given};
  Variogram variogram = scaled.variogram;
  variogram.nugget *= variance_mm2;
  variogram.partial_sill *= variance_mm2;
  return {refined(variogram, parts),
          scaled.learned ? VariogramOrigin::learned : VariogramOrigin::defaults};
}

DepthVariogram depth_variogram(std::span<const MetricPoint> points, const FieldRecord& depths,
                               double duration_hours, const VariogramParts& parts, int threads) {
  if (parts.complete()) return depth_variogram({}, 1, parts);
  return depth_variogram(
      climatological_variogram(points, depths, duration_hours, parts.shape, threads),
      mean_field_variance(depths), parts);
}

}  // namespace gaugeloom
