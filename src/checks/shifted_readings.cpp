#include <algorithm>
#include <optional>
#include <utility>

#include "checks/shifted_readings_internal.hpp"

namespace gaugeloom {
namespace {

// The steps of one gauge: what was read, and who may be moved where.
class GaugeSteps {
 public:
  GaugeSteps(RainRecord& record, std::size_t gauge)
      : record_(record),
        gauge_(gauge),
        read_(record.depths.row(gauge).begin(), record.depths.row(gauge).end()),
        taken_(read_.size(), 0) {
    has_quality_ = record.quality.steps == read_.size();
    for (std::size_t i = 0; i < read_.size(); ++i) {
      taken_[i] = record.depths.is_measured(gauge, i) ? 1 : 0;
      if (has_quality_) quality_.push_back(record.quality.at(gauge, i));
    }
    for (const AccumulatedTotal& total : record.totals)
      if (total.gauge == gauge) set_taken(record.depths.axis().touching(total.over), 1);
  }

  // Takes everything away that will be moved.
  void lift(const TimeShift& shift) {
    const Interval over = span_of(shift);
    lift_if(record_.totals, totals_, [&](const AccumulatedTotal& total) {
      return total.gauge == gauge_ && over.from <= total.over.from && total.over.to <= over.to;
    });
    lift_if(record_.other_counter, others_, [&](const OtherCounterStep& one) {
      return one.gauge == gauge_ && shift.steps.first <= one.step && one.step < shift.steps.last;
    });
    for (std::size_t i = shift.steps.first; i < shift.steps.last; ++i) {
      record_.depths.set_missing(gauge_, i);
      if (has_quality_) record_.quality.at(gauge_, i) = Quality::missing;
    }
    set_taken(shift.steps, 0);
    for (const AccumulatedTotal& total : record_.totals)  // those across an edge stay
      if (total.gauge == gauge_) set_taken(record_.depths.axis().touching(total.over), 1);
  }

  // Puts down what was lifted of it.
  ShiftedReadings put(const TimeShift& shift) {
    ShiftedReadings done;
    for (std::size_t i = shift.steps.first; i < shift.steps.last; ++i) {
      const float depth_mm = read_[i];
      if (!(depth_mm >= 0)) continue;
      const auto target = free_step(i, shift.late);
      if (target) {
        record_.depths.set(gauge_, *target, depth_mm);
        if (has_quality_) record_.quality.at(gauge_, *target) = quality_[i];
        ++done.moved;
      } else {
        ++done.left_out;
        done.left_out_mm += static_cast<double>(depth_mm);
      }
    }
    put_others(shift);
    put_totals(shift);
    for (const StepAxis::Range& steps : put_down_) set_taken(steps, 1);
    for (std::size_t i = 0; i < taken_.size(); ++i)
      if (record_.depths.is_measured(gauge_, i)) taken_[i] = 1;
    return done;
  }

 private:
  Interval span_of(const TimeShift& shift) const {
    const StepAxis& axis = record_.depths.axis();
    return {axis.begin(shift.steps.first), axis.end(shift.steps.last - 1)};
  }

  void set_taken(const StepAxis::Range& steps, char value) {
    for (std::size_t i = steps.first; i < steps.last; ++i) taken_[i] = value;
  }

  template <typename Row, typename Belongs>
  static void lift_if(std::vector<Row>& from, std::vector<Row>& into, Belongs belongs) {
    const auto rest = std::stable_partition(from.begin(), from.end(),
                                            [&](const Row& row) { return !belongs(row); });
    into.insert(into.end(), rest, from.end());
    from.erase(rest, from.end());
  }

  // Where a reading goes, unless another one stands there or the record does not reach so far.
  std::optional<std::size_t> free_step(std::size_t step, long late) const {
    const long target = static_cast<long>(step) - late;
    if (target < 0 || target >= static_cast<long>(taken_.size())) return std::nullopt;
    if (taken_[static_cast<std::size_t>(target)] != 0) return std::nullopt;
    return static_cast<std::size_t>(target);
  }

  void put_others(const TimeShift& shift) {
    for (const OtherCounterStep& one : others_) {
      if (one.step < shift.steps.first || one.step >= shift.steps.last) continue;
      if (const auto target = free_step(one.step, shift.late))
        record_.other_counter.push_back({gauge_, *target});
    }
  }

  // A total goes where all of its steps can go, else nowhere.
  void put_totals(const TimeShift& shift) {
    const StepAxis& axis = record_.depths.axis();
    for (AccumulatedTotal total : totals_) {
      const StepAxis::Range steps = axis.touching(total.over);
      if (steps.first < shift.steps.first || steps.last > shift.steps.last) continue;
      bool is_free = true;
      for (std::size_t i = steps.first; i < steps.last; ++i)
        is_free = is_free && free_step(i, shift.late).has_value();
      if (!is_free) continue;
      total.over.from -= axis.step() * shift.late;
      total.over.to -= axis.step() * shift.late;
      record_.totals.push_back(total);
      put_down_.push_back(axis.touching(total.over));
    }
  }

  RainRecord& record_;
  std::size_t gauge_;
  std::vector<float> read_;
  std::vector<Quality> quality_;
  bool has_quality_ = false;
  std::vector<char> taken_;                // measured, or within a total, and not moved
  std::vector<AccumulatedTotal> totals_;   // lifted
  std::vector<StepAxis::Range> put_down_;  // of these
  std::vector<OtherCounterStep> others_;
};

}  // namespace

std::vector<ShiftedReadings> shift_readings(RainRecord& record, std::span<const TimeShift> shifts) {
  std::vector<ShiftedReadings> outcomes(shifts.size());
  if (shifts.empty()) return outcomes;
  if (record.counted.gauge_count() == 0) record.counted = record.depths;
  std::vector<std::size_t> gauges;
  for (const TimeShift& shift : shifts) gauges.push_back(shift.gauge);
  std::ranges::sort(gauges);
  gauges.erase(std::unique(gauges.begin(), gauges.end()), gauges.end());
  for (const std::size_t gauge : gauges) {
    GaugeSteps steps(record, gauge);
    for (const TimeShift& shift : shifts)
      if (shift.gauge == gauge && shift.steps.first < shift.steps.last) steps.lift(shift);
    for (std::size_t i = 0; i < shifts.size(); ++i)
      if (shifts[i].gauge == gauge) outcomes[i] = steps.put(shifts[i]);
  }
  std::ranges::stable_sort(record.totals, [](const AccumulatedTotal& a, const AccumulatedTotal& b) {
    return std::pair(a.gauge, a.over.from) < std::pair(b.gauge, b.over.from);
  });
  return outcomes;
}

}  // namespace gaugeloom
