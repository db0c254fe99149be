#pragma once
// How well a leave-one-out met the values that were measured.

#include <cstddef>
#include <vector>

#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"

namespace gaugeloom {

struct LeaveOneOutScore {
  std::size_t values = 0;             // measured and estimated
  double root_mean_square_error = 0;  // in the field's unit, as the next two
  double mean_absolute_error = 0;
  double mean_error = 0;  // estimate less value: the bias; all 0 without values
};

// Adds up the errors of one block after another. The sums are taken point by point in the order of
// the steps, then over the points, so that neither blocks nor threads change the last bit.
class LeaveOneOutSums {
 public:
  // Requires: block.points as in every earlier call; blocks in the order of the steps.
  void add(const FieldRecord& record, std::size_t first_step, const LeaveOneOutBlock& block,
           int threads = 0);
  LeaveOneOutScore score() const;

 private:
  struct PointSums {
    std::size_t values = 0;
    double squares = 0;
    double absolutes = 0;
    double errors = 0;
  };
  std::vector<PointSums> points_;
};

}  // namespace gaugeloom
