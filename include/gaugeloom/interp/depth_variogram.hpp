#pragma once
// The variogram of depths on the raw scale (mm2), for leave-one-out and maps: what the user gave,
// the rest learned from the record.

#include <cstddef>
#include <optional>
#include <span>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"
#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

// What is already known; the rest is learned.
struct VariogramParts {
  std::optional<VariogramShape> shape;
  std::optional<double> nugget;        // mm2
  std::optional<double> partial_sill;  // mm2
  std::optional<double> range_m;
  std::optional<double> smoothness;  // Matern only

  // Whether nothing is left to learn. Without a shape it is the exponential then.
  bool complete() const {
    return nugget && partial_sill && range_m &&
           (shape != VariogramShape::matern || smoothness.has_value());
  }
};

enum class VariogramOrigin {
  given,     // every part was
  learned,   // from the record, but for the parts given
  defaults,  // the range of its duration, since the record has too few wet steps
};

struct DepthVariogram {
  Variogram variogram;
  VariogramOrigin origin = VariogramOrigin::given;
};

// The scaled variogram of the record (climatological_variogram.hpp) times the mean variance of its
// wet fields; then the parts that are known take their places.
//
//   depths  mm, NaN = missing; points[i] belongs to row i
// A field is wet when two or more points have a value and one is above 0; with no wet field the
// variance is 1 mm2.
// Throws: Error{invalid_option} when the variogram that results breaks its own rules.
// Cost:   one pass over the record beside the climatological variogram; nothing when complete.
DepthVariogram depth_variogram(std::span<const MetricPoint> points, const FieldRecord& depths,
                               double duration_hours, const VariogramParts& parts, int threads = 0);

// The same from a scaled variogram that is known, for fields of this variance.
DepthVariogram depth_variogram(const ClimatologicalVariogram& scaled, double variance_mm2,
                               const VariogramParts& parts);

// The mean over the wet fields of their variance between points (n - 1 in the denominator).
double mean_field_variance(const FieldRecord& depths);

}  // namespace gaugeloom
