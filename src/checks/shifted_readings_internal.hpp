#pragma once
// Readings stamped at the wrong time, put right; what it does to a record: checks/reviewed.hpp.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/rain/rain_record.hpp"

namespace gaugeloom {

struct TimeShift {
  std::size_t gauge = 0;
  StepAxis::Range steps;  // whose readings are stamped
  long late = 0;          // so many steps later than true; not 0
};

struct ShiftedReadings {
  std::size_t moved = 0;
  std::size_t left_out = 0;  // met a measured step that was not moved, or left the record
  double left_out_mm = 0;
};

// One outcome per shift. All shifts of a gauge are lifted before one is put down; where two would
// put a reading on one step, the earlier one in `shifts` does.
// Requires: no step belongs to two shifts of its gauge.
std::vector<ShiftedReadings> shift_readings(RainRecord& record, std::span<const TimeShift> shifts);

}  // namespace gaugeloom
