#pragma once
// The bucket of a gauge at an instant, for gauges that were given another one.

#include <cstddef>
#include <span>

#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Asked by rising times. `rows` are the gauge's, by `opened`; the last that had opened holds.
class BucketInTime {
 public:
  explicit BucketInTime(std::span<const Gauge> rows) : rows_(rows) {}

  double mm(Instant t) {
    while (row_ + 1 < rows_.size() && rows_[row_ + 1].opened && *rows_[row_ + 1].opened <= t)
      ++row_;
    return rows_[row_].bucket_mm;
  }

 private:
  std::span<const Gauge> rows_;
  std::size_t row_ = 0;
};

}  // namespace gaugeloom
