#include "gaugeloom/tips/join_tips.hpp"

#include <algorithm>
#include <tuple>
#include <utility>
#include <vector>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

// The steps of both; one that has none does not count.
StepAxis over_both(const StepAxis& a, const StepAxis& b) {
  if (a.count() == 0) return b;
  if (b.count() == 0) return a;
  GAUGELOOM_ASSERT(a.step() == b.step());
  const Instant first = std::min(a.end(0), b.end(0));
  const Instant last = std::max(a.end(a.count() - 1), b.end(b.count() - 1));
  const auto steps = (last - first) / Duration(a.step());
  return StepAxis(first, a.step(), static_cast<std::size_t>(steps) + 1);
}

// Where the first step of `part` stands in `whole`.
std::size_t offset_in(const StepAxis& whole, const StepAxis& part) {
  if (part.count() == 0) return 0;
  const auto at = whole.ending_at(part.end(0));
  GAUGELOOM_ASSERT(at);
  return *at;
}

template <typename Marked>
void shift(std::vector<Marked>& marks, std::size_t by) {
  for (Marked& mark : marks) mark.step += by;
}

void widen(RainRecord& record, const StepAxis& axis) {
  const std::size_t gauges = record.depths.gauge_count();
  const std::size_t by = offset_in(axis, record.depths.axis());
  RainTable wide(axis, gauges);
  const bool has_quality = record.quality.steps > 0;
  QualityTable quality;
  if (has_quality) quality = QualityTable(gauges, axis.count(), Quality::missing);
  for (std::size_t g = 0; g < gauges; ++g)
    for (std::size_t s = 0; s < record.depths.step_count(); ++s) {
      if (record.depths.is_measured(g, s)) wide.set(g, s + by, record.depths.depth_mm(g, s));
      if (has_quality) quality.at(g, s + by) = record.quality.at(g, s);
    }
  record.depths = std::move(wide);
  record.quality = std::move(quality);
  shift(record.refused, by);
  shift(record.other_counter, by);
}

class Joining {
 public:
  Joining(RainRecord& record, const SeriesRecord& tips)
      : record_(record),
        tips_(tips),
        by_(offset_in(record.depths.axis(), tips.depth.axis())),
        joined_(tips.depth.gauge_count()) {}

  void join_gauge(std::size_t gauge) {
    joined_[gauge] = true;
    const std::size_t before = twice_.steps;
    for (std::size_t s = 0; s < tips_.depth.step_count(); ++s)
      if (tips_.depth.is_measured(gauge, s)) take(gauge, s);
    if (twice_.steps > before && twice_.gauges++ == 0) twice_.first = gauge;
  }

  // What was said of steps that tips have now, and what tips say beside depths.
  void join_marks() {
    std::erase_if(record_.refused, [&](const RefusedDepth& r) { return is_taken(r); });
    std::erase_if(record_.other_counter, [&](const OtherCounterStep& o) { return is_taken(o); });
    for (const RefusedDepth& refused : tips_.refused) refuse(refused);
    for (std::size_t g = 0; g < joined_.size(); ++g)
      for (std::size_t s = 0; s < tips_.depth.step_count(); ++s)
        if (tips_.origin[tips_.index(g, s)] == Origin::other_counter)
          record_.other_counter.push_back({g, s + by_});
    std::ranges::sort(record_.refused, [](const RefusedDepth& a, const RefusedDepth& b) {
      return std::tie(a.gauge, a.step) < std::tie(b.gauge, b.step);
    });
    twice_.totals = std::erase_if(record_.totals, [&](const AccumulatedTotal& total) {
      const StepAxis::Range over = record_.depths.axis().touching(total.over);
      for (std::size_t s = over.first; s < over.last; ++s)
        if (is_taken(RefusedDepth{total.gauge, s, 0})) return true;
      return false;
    });
  }

  const TwiceGiven& twice() const { return twice_; }

 private:
  void take(std::size_t gauge, std::size_t s) {
    const std::size_t at = s + by_;
    const float depth_mm = tips_.depth.depth_mm(gauge, s);
    if (record_.depths.is_measured(gauge, at)) {
      ++twice_.steps;
      twice_.depths_mm += static_cast<double>(record_.depths.depth_mm(gauge, at));
      twice_.tips_mm += static_cast<double>(depth_mm);
    }
    record_.depths.set(gauge, at, depth_mm);
    record_.counted.set(gauge, at, tips_.observed.depth_mm(gauge, s));
    if (record_.quality.steps > 0) record_.quality.at(gauge, at) = Quality::unchecked;
  }

  void refuse(const RefusedDepth& refused) {
    const std::size_t at = refused.step + by_;
    std::erase_if(record_.refused,
                  [&](const RefusedDepth& r) { return r.gauge == refused.gauge && r.step == at; });
    record_.depths.set_missing(refused.gauge, at);
    record_.counted.set_missing(refused.gauge, at);
    if (record_.quality.steps > 0) record_.quality.at(refused.gauge, at) = Quality::missing;
    record_.refused.push_back({refused.gauge, at, refused.depth_mm});
  }

  template <typename Marked>
  bool is_taken(const Marked& mark) const {
    return joined_[mark.gauge] && mark.step >= by_ && mark.step < by_ + tips_.depth.step_count() &&
           tips_.depth.is_measured(mark.gauge, mark.step - by_);
  }

  RainRecord& record_;
  const SeriesRecord& tips_;
  std::size_t by_;
  std::vector<bool> joined_;  // gauges that come as tips
  TwiceGiven twice_;
};

}  // namespace

TwiceGiven join_tips(RainRecord& record, const CorrectedNetwork& network) {
  const SeriesRecord& tips = network.series;
  const bool all_tip = record.depths.step_count() == 0;
  if (all_tip) record.depths = RainTable(record.depths.axis(), tips.depth.gauge_count());
  GAUGELOOM_ASSERT(record.depths.gauge_count() == tips.depth.gauge_count());
  const StepAxis axis = over_both(record.depths.axis(), tips.depth.axis());
  if (!(axis == record.depths.axis())) widen(record, axis);
  record.counted = record.depths;
  Joining joining(record, tips);
  for (std::size_t g = 0; g < tips.depth.gauge_count(); ++g)
    if (all_tip || network.gauges[g].all_tips() > 0) joining.join_gauge(g);
  joining.join_marks();
  return joining.twice();
}

}  // namespace gaugeloom
