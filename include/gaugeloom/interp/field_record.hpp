#pragma once
// A view of many fields, one per step, at the same points: point-major, contiguous in time.

#include <cstddef>
#include <span>

namespace gaugeloom {

struct FieldRecord {
  std::span<const float> values;  // points x steps; NaN = missing
  std::size_t points = 0;
  std::size_t steps = 0;

  std::span<const float> row(std::size_t point) const {
    return values.subspan(point * steps, steps);
  }
};

}  // namespace gaugeloom
