#include "fill/fill_gauge_internal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "fill/spread_total_internal.hpp"
#include "fill/whole_tips_internal.hpp"

namespace gaugeloom::fill_internal {
namespace {

// The largest total whose thousandths a float still holds exactly: 2^24 / 1000 mm.
constexpr double kLargestTotalMm = 16000;

float thousandths(double mm) { return static_cast<float>(std::lround(mm * 1000)) / 1000.0F; }

class GaugeFiller {
 public:
  GaugeFiller(const Ground& ground, const Learned& learned, const LearnedErrors& errors,
              const ScaledRain& rain, std::size_t gauge)
      : ground_(ground),
        learned_(learned),
        errors_(errors),
        gauge_(gauge),
        estimates_(neighbour_estimates(ground.around[gauge], rain, learned.rule)),
        rule_(course_rule(ground, learned, gauge)) {
    start();
  }

  void spread(const GaugeTotal& total);
  void put_back(const Interval& spell);
  void fill_from_neighbours();
  FilledRow finish();

 private:
  void start();
  bool is_asked(std::size_t step) const;
  std::optional<Refusal> refusal(std::size_t step) const;
  DepthError band(std::size_t step, double depth_mm) const;
  void set(std::size_t step, float depth_mm, const DepthError& error, Origin origin);
  std::optional<StepAxis::Range> steps_of(const GaugeTotal& total) const;
  std::vector<double> course_within(StepAxis::Range range) const;
  void lay_total(double total_mm, StepAxis::Range range, std::span<const double> course);
  void sum_recovered();
  long bucket_thousandths() const;
  void set_run(std::size_t first, std::span<const float> course);
  void refuse(std::size_t step, Refusal why);
  std::optional<Interval> worst_gap() const;

  const Ground& ground_;
  const Learned& learned_;
  const LearnedErrors& errors_;
  std::size_t gauge_;
  NeighbourEstimates estimates_;
  CourseRule rule_;
  std::vector<char> refused_;
  FilledRow row_;
};

void GaugeFiller::start() {
  const auto observed = ground_.depths.row(gauge_);
  const std::size_t steps = observed.size();
  row_.depth_mm.assign(observed.begin(), observed.end());
  row_.low_mm.assign(steps, std::numeric_limits<float>::quiet_NaN());
  row_.high_mm = row_.standard_error_mm = row_.low_mm;
  row_.quality.resize(steps);
  row_.origin.assign(steps, Origin::measured);
  refused_.assign(steps, 0);
  for (std::size_t s = 0; s < steps; ++s) {
    const bool measured = ground_.depths.is_measured(gauge_, s);
    row_.quality[s] = measured ? ground_.quality.at(gauge_, s) : Quality::missing;
    if (!measured) row_.origin[s] = Origin::none;
  }
}

bool GaugeFiller::is_asked(std::size_t step) const {
  const Replace replace = ground_.options.replace;
  switch (row_.quality[step]) {
    case Quality::missing:
      return true;
    case Quality::poor:
      return replace != Replace::none;
    case Quality::suspect:
      return replace == Replace::provisional;
    default:
      return false;
  }
}

std::optional<Refusal> GaugeFiller::refusal(std::size_t step) const {
  switch (estimates_.support[step]) {
    case Support::few_neighbours:
      return Refusal::few_neighbours;
    case Support::one_sided:
      return Refusal::one_sided;
    case Support::beyond_reach:
      return Refusal::no_skill;
    case Support::enough:
      break;
  }
  if (!learned_.plan.learned) return Refusal::nothing_learned;
  if (learned_.gauges[gauge_].skill <= 0) return Refusal::no_skill;
  return std::nullopt;
}

DepthError GaugeFiller::band(std::size_t step, double depth_mm) const {
  const double root_share =
      rule_.threshold > 0 ? static_cast<double>(estimates_.root[step]) / rule_.threshold : 0;
  return errors_.steps.at(depth_mm, static_cast<double>(estimates_.wet_share[step]), root_share,
                          static_cast<double>(estimates_.variance[step]));
}

void GaugeFiller::set(std::size_t step, float depth_mm, const DepthError& error, Origin origin) {
  row_.depth_mm[step] = depth_mm;
  row_.low_mm[step] = std::min(depth_mm, thousandths(error.low_mm));
  row_.high_mm[step] = std::max(depth_mm, thousandths(error.high_mm));
  row_.standard_error_mm[step] = thousandths(error.standard_error_mm);
  row_.quality[step] = Quality::estimate;
  row_.origin[step] = origin;
}

std::optional<StepAxis::Range> GaugeFiller::steps_of(const GaugeTotal& total) const {
  const StepAxis& axis = ground_.depths.axis();
  const StepAxis::Range range = axis.within(total.over);
  if (range.last <= range.first || axis.begin(range.first) != total.over.from ||
      axis.end(range.last - 1) != total.over.to)
    return std::nullopt;
  for (std::size_t s = range.first; s < range.last; ++s)
    if (row_.quality[s] != Quality::missing) return std::nullopt;
  return range;
}

// The neighbours' course over these steps, 0 where nobody knows.
std::vector<double> GaugeFiller::course_within(StepAxis::Range range) const {
  std::vector<char> asked(ground_.steps(), 0);
  for (std::size_t s = range.first; s < range.last; ++s)
    asked[s] = std::isfinite(estimates_.amount[s]) ? 1 : 0;
  std::vector<float> laid(ground_.steps(), 0);
  lay_course(estimates_, asked, rule_, laid);
  std::vector<double> course;
  double sum = 0;
  for (std::size_t s = range.first; s < range.last; ++s) {
    course.push_back(static_cast<double>(laid[s]));
    sum += course.back();
  }
  if (sum > 0) return course;
  for (std::size_t s = range.first; s < range.last; ++s)  // wet somewhere, but nowhere by the rule
    course[s - range.first] = asked[s] != 0 ? static_cast<double>(estimates_.amount[s]) : 0;
  return course;
}

void GaugeFiller::lay_total(double total_mm, StepAxis::Range range,
                            std::span<const double> course) {
  const double scale = total_mm / std::accumulate(course.begin(), course.end(), 0.0);
  std::vector<long> parts = split_thousandths(total_mm, course);
  if (ground_.options.whole_tips) to_whole_tips(parts, bucket_thousandths(), true);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::size_t s = range.first + i;
    DepthError error{0, total_mm, std::numeric_limits<double>::quiet_NaN()};
    if (parts.size() == 1) {
      error = {total_mm, total_mm, 0};
    } else if (learned_.plan.learned && std::isfinite(estimates_.amount[s]) && scale > 0) {
      error = band(s, course[i]);
      error = {scale * error.low_mm, std::min(total_mm, scale * error.high_mm),
               scale * error.standard_error_mm};
    }
    set(s, static_cast<float>(parts[i]) / 1000.0F, error, Origin::spread_total);
    if (std::isnan(error.standard_error_mm))
      row_.standard_error_mm[s] = std::numeric_limits<float>::quiet_NaN();
  }
  row_.report.spread += parts.size();
}

void GaugeFiller::spread(const GaugeTotal& total) {
  const auto range = steps_of(total);
  if (!range || !(total.depth_mm >= 0 && total.depth_mm <= kLargestTotalMm)) {
    row_.totals.push_back({total.index, TotalFate::not_used});
    return;
  }
  std::vector<double> course = course_within(*range);
  const bool dry = std::all_of(course.begin(), course.end(), [](double mm) { return mm <= 0; });
  if (dry) course.back() = 1;
  lay_total(total.depth_mm, *range, course);
  const bool left = dry && total.depth_mm > 0;
  row_.totals.push_back({total.index, left ? TotalFate::left_where_read : TotalFate::spread});
}

// Only where every step gives way to estimates: what stays measured cannot be part of the total.
void GaugeFiller::put_back(const Interval& spell) {
  const StepAxis::Range range = ground_.depths.axis().within(spell);
  double read_mm = 0;
  for (std::size_t s = range.first; s < range.last; ++s) {
    if (!is_asked(s)) return;
    if (ground_.depths.is_measured(gauge_, s))
      read_mm += static_cast<double>(ground_.depths.depth_mm(gauge_, s));
  }
  if (range.last <= range.first || read_mm > kLargestTotalMm) return;
  const std::vector<double> course = course_within(range);
  const double expected_mm = std::accumulate(course.begin(), course.end(), 0.0);
  const DepthError error =
      errors_.durations.at(ground_.hours(range.last - range.first), expected_mm);
  RecoveredWater water{gauge_, spell, read_mm, 0, expected_mm > 0 && !(read_mm < error.low_mm)};
  if (water.put_back) lay_total(read_mm, range, course);
  row_.recovered.push_back(water);
}

void GaugeFiller::sum_recovered() {
  for (RecoveredWater& water : row_.recovered) {
    const StepAxis::Range range = ground_.depths.axis().within(water.over);
    for (std::size_t s = range.first; s < range.last; ++s)
      water.filled_mm += row_.quality[s] == Quality::estimate
                             ? static_cast<double>(row_.depth_mm[s])
                             : std::numeric_limits<double>::quiet_NaN();
  }
}

void GaugeFiller::refuse(std::size_t step, Refusal why) {
  refused_[step] = 1;
  ++row_.report.refused;
  const Interval over = ground_.depths.axis().interval(step);
  std::vector<RefusedSpan>& spans = row_.refusals;
  if (!spans.empty() && spans.back().over.to == over.from && spans.back().why == why) {
    spans.back().over.to = over.to;
    ++spans.back().steps;
  } else {
    spans.push_back({gauge_, over, 1, why});
  }
}

long GaugeFiller::bucket_thousandths() const {
  return std::max(1L, std::lround(1000 * ground_.bucket_mm[gauge_]));
}

// A run of steps from `first` on, all asked; in whole tips if that is wanted.
void GaugeFiller::set_run(std::size_t first, std::span<const float> course) {
  std::vector<long> depths;
  for (const float mm : course) depths.push_back(std::lround(static_cast<double>(mm) * 1000));
  if (ground_.options.whole_tips) to_whole_tips(depths, bucket_thousandths(), false);
  for (std::size_t i = 0; i < depths.size(); ++i) {
    const float depth_mm = static_cast<float>(depths[i]) / 1000.0F;
    set(first + i, depth_mm, band(first + i, static_cast<double>(course[i])), Origin::neighbours);
    row_.report.filled_mm += static_cast<double>(depth_mm);
  }
  row_.report.filled += depths.size();
}

void GaugeFiller::fill_from_neighbours() {
  std::vector<char> asked(ground_.steps(), 0);
  for (std::size_t s = 0; s < asked.size(); ++s) {
    if (!is_asked(s)) continue;
    if (const auto why = refusal(s))
      refuse(s, *why);
    else
      asked[s] = 1;
  }
  std::vector<float> course(ground_.steps(), 0);
  lay_course(estimates_, asked, rule_, course);
  for (std::size_t first = 0; first < asked.size();) {
    std::size_t last = first;
    while (last < asked.size() && asked[last] != 0) ++last;
    set_run(first, std::span(course).subspan(first, last - first));
    first = last + 1;
  }
}

std::optional<Interval> GaugeFiller::worst_gap() const {
  const StepAxis& axis = ground_.depths.axis();
  std::size_t best_first = 0;
  std::size_t best = 0;
  std::size_t length = 0;
  for (std::size_t s = 0; s < refused_.size(); ++s) {
    const bool gap = refused_[s] != 0 || row_.quality[s] == Quality::estimate;
    length = gap ? length + 1 : 0;
    if (length <= best) continue;
    best = length;
    best_first = s + 1 - length;
  }
  if (best == 0) return std::nullopt;
  return Interval{axis.begin(best_first), axis.end(best_first + best - 1)};
}

FilledRow GaugeFiller::finish() {
  row_.report.site_ratio = learned_.ratios[gauge_];
  row_.report.hourly_error_mm = learned_.gauges[gauge_].hourly_error_mm;
  row_.report.skill = learned_.gauges[gauge_].skill;
  row_.report.worst_gap = worst_gap();
  sum_recovered();
  return std::move(row_);
}

}  // namespace

FilledRow fill_gauge(const Ground& ground, const Learned& learned, const LearnedErrors& errors,
                     const ScaledRain& rain, std::size_t gauge, const GaugeEvidence& evidence) {
  GaugeFiller filler(ground, learned, errors, rain, gauge);
  for (const GaugeTotal& total : evidence.totals) filler.spread(total);
  for (const Interval& spell : evidence.held) filler.put_back(spell);
  filler.fill_from_neighbours();
  return filler.finish();
}

}  // namespace gaugeloom::fill_internal
