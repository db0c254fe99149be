#include "gaugeloom/time/step_axis.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

StepAxis::StepAxis(Instant first_end, std::chrono::seconds step, std::size_t count)
    : first_end_(first_end), step_(step), count_(count) {
  GAUGELOOM_ASSERT(step.count() > 0);
}

Interval StepAxis::span() const {
  const Instant from = first_end_ - step_;
  return {from, from + step_ * static_cast<long>(count_)};
}

std::optional<std::size_t> StepAxis::ending_at(Instant t) const {
  if (t < first_end_) return std::nullopt;
  const Duration since = t - first_end_;
  if (since % step_ != Duration{0}) return std::nullopt;
  const auto i = static_cast<std::size_t>(since / Duration(step_));
  if (i >= count_) return std::nullopt;
  return i;
}

StepAxis::Range StepAxis::touching(const Interval& window) const {
  if (count() == 0 || !window.overlaps(span())) return {};
  const auto first = std::max(window.from, begin(0)) - begin(0);
  const auto last = std::min(window.to, span().to) - begin(0);
  const auto length = std::chrono::duration_cast<Duration>(step());
  return {static_cast<std::size_t>(first / length),
          static_cast<std::size_t>((last + length - Duration(1)) / length)};
}

StepAxis::Range StepAxis::within(const Interval& window) const {
  const Duration step = step_;
  const auto clamp = [&](std::int64_t i) {
    return static_cast<std::size_t>(
        std::clamp<std::int64_t>(i, 0, static_cast<std::int64_t>(count_)));
  };
  const Duration from = window.from - span().from;
  const Duration to = window.to - span().from;
  const std::int64_t first =
      from.count() <= 0 ? 0 : (from.count() + step.count() - 1) / step.count();
  const std::int64_t last = to.count() <= 0 ? 0 : to.count() / step.count();
  Range range{clamp(first), clamp(last)};
  range.last = std::max(range.first, range.last);
  return range;
}

std::optional<std::size_t> StepAxis::steps_in(std::chrono::seconds duration) const {
  if (duration.count() <= 0 || duration % step_ != std::chrono::seconds{0}) return std::nullopt;
  return static_cast<std::size_t>(duration / step_);
}

}  // namespace gaugeloom
