#include "gaugeloom/tips/step_depths.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

class Sharing {
 public:
  Sharing(const StepAxis& axis, StepDepths& depths)
      : axis_(axis),
        begin_(axis.span().from),
        step_us_(Duration(axis.step()).count()),
        depths_(depths) {}

  void add(const Inflow& inflow) {
    const bool has_length = inflow.from < inflow.to;
    const std::size_t last = step_of(has_length ? inflow.to - Duration(1) : inflow.to);
    double counted_left = inflow.counted_mm;
    double corrected_left = inflow.corrected_mm;
    if (has_length) {
      const double length = static_cast<double>((inflow.to - inflow.from).count());
      Instant from = inflow.from;
      for (std::size_t step = step_of(from); step < last; ++step) {
        const double share = static_cast<double>((axis_.end(step) - from).count()) / length;
        depths_.counted_mm[step] += share * inflow.counted_mm;
        depths_.corrected_mm[step] += share * inflow.corrected_mm;
        counted_left -= share * inflow.counted_mm;
        corrected_left -= share * inflow.corrected_mm;
        from = axis_.end(step);
      }
    }
    depths_.counted_mm[last] += counted_left;
    depths_.corrected_mm[last] += corrected_left;
  }

 private:
  std::size_t step_of(Instant t) const {
    GAUGELOOM_ASSERT(axis_.span().contains(t));
    return static_cast<std::size_t>((t - begin_).count() / step_us_);
  }

  const StepAxis& axis_;
  Instant begin_;
  std::int64_t step_us_;
  StepDepths& depths_;
};

}  // namespace

StepDepths step_depths(std::span<const Inflow> inflows, const StepAxis& axis) {
  StepDepths depths{std::vector<double>(axis.count()), std::vector<double>(axis.count())};
  Sharing sharing(axis, depths);
  for (const Inflow& inflow : inflows) sharing.add(inflow);
  return depths;
}

void round_to_thousandths(std::span<double> depths_mm) {
  double carried = 0;  // thousandths, within +-0.5
  for (double& depth_mm : depths_mm) {
    if (depth_mm == 0) continue;
    const double exact = 1000 * depth_mm + carried;
    const double rounded = std::max(0.0, std::round(exact));
    carried = exact - rounded;
    depth_mm = rounded / 1000;
  }
}

}  // namespace gaugeloom
